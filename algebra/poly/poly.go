// Package poly computes with polynomials in several variables whose
// coefficients are exact numbers: rationals or sums of square roots.
//
// Rings are receivers, polynomials are plain immutable values: r.Mul(f, g).
// Every operation spends on the ring's meter and stays within its limits on
// terms, degree and bits. Once the meter is exhausted an operation returns at
// once with the zero polynomial or another well-formed value without meaning;
// the owner of the question looks at the meter last.
//
// Files: ring.go rings and constructors, monomial.go packed exponents,
// add.go and mul.go arithmetic (words.go, hash.go, pack.go, bucket.go the
// ways to multiply), parts.go looking into a polynomial, subst.go putting
// values in, divide.go division and reduction, content.go, gcd.go, modular.go
// and squarefree.go common factors, resultant.go elimination, onevar.go the
// way to poly/uni, text.go printing, condition.go sign conditions.
//
// Not covered: factoring into irreducible factors, Gröbner bases, rings of
// more than one meter, and use of one ring by two goroutines.
package poly

import "squaremark/algebra/number"

// Poly is an immutable polynomial; the zero value is 0 in every ring. Any
// other value belongs to rings with the same number of variables, and means
// what the names of the ring at hand say.
//
// Representation rule, checked after every operation in the tests: terms in
// strictly falling graded lexicographic order, no zero coefficient. The
// exponents of a term fill stride words, one byte each, the total degree in
// the first byte and the variables in order behind it, so that the product of
// monomials is the sum of the words and the order is the order of the words.
// With up to seven variables that is one word. Why not a map: no order to
// print, divide or compare in.
type Poly struct {
	mons  []uint64
	coefs []number.Num
}

// IsZero reports f = 0.
func (f Poly) IsZero() bool { return len(f.coefs) == 0 }

// Len is the number of terms.
func (f Poly) Len() int { return len(f.coefs) }

// Degree is the total degree, −1 for the zero polynomial.
func (f Poly) Degree() int {
	if f.IsZero() {
		return -1
	}
	return int(f.mons[0] >> 56)
}

// IsConst is the value of a polynomial without variables, 0 for the zero
// polynomial; false when a variable occurs.
func (f Poly) IsConst() (number.Num, bool) {
	switch f.Degree() {
	case -1:
		return number.Num{}, true
	case 0:
		return f.coefs[0], true
	}
	return number.Num{}, false
}

// LeadCoef is the coefficient of the first term, 0 for the zero polynomial.
func (f Poly) LeadCoef() number.Num {
	if f.IsZero() {
		return number.Num{}
	}
	return f.coefs[0]
}

// IsRational reports that no coefficient has a square root in it.
func (f Poly) IsRational() bool {
	for _, c := range f.coefs {
		if !c.IsRational() {
			return false
		}
	}
	return true
}
