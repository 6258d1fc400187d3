// Package number holds the scalars of the engine: exact rational numbers and
// exact elements of the fields Q(√a, √b, …) of square roots of positive
// integers. No result is ever rounded.
//
// Files: num.go the type and its constructors, word.go machine-word
// arithmetic, ring.go the four operations, surd.go sums of square roots,
// order.go sign, order and enclosures, sqrt.go roots that stay in the field,
// between.go simplest fractions, text.go reading and printing.
//
// Not covered: complex numbers, cube roots, nested roots that do not denest,
// and any bound on size. A caller that works for a stranger looks at Bits.
package number

import (
	"math"
	"math/big"
	"math/bits"
)

// Num is an immutable real number; the zero value is 0. Compare with Equal or
// Cmp: the Go operator == tells large equal numbers apart.
//
// Representation rule, checked after every operation in the tests:
//
//   - w == nil: the rational n/(e+1) in lowest terms, both parts within
//     int64. The denominator is kept minus one so that the zero value is 0.
//   - w.rat != nil: a rational with a numerator or denominator that does not
//     fit, in lowest terms; n and e are 0.
//   - w.sum != nil: Σ c·√d with d squarefree integers in strictly rising
//     order, c rational and not zero, at least one d > 1.
//
// Square roots of distinct squarefree integers are linearly independent over
// Q, so that equality and the zero test compare representations. Why not a
// minimal polynomial with an interval: school algebra meets square roots
// only, and this normal form prints as pupils write.
//
// Source: A. S. Besicovitch, On the linear independence of fractional powers
// of integers, J. London Math. Soc. 15 (1940) 3–6 (from memory).
type Num struct {
	n int64
	e int64
	w *wide
}

// wide is what does not fit machine words; exactly one field is set.
type wide struct {
	rat *big.Rat
	sum []term
}

// term is c·√d, both parts rational Nums, d a squarefree positive integer.
type term struct{ d, c Num }

// Int is the integer k.
func Int(k int64) Num { return Num{n: k} }

// Frac is the fraction n/d in lowest terms. Domain: d ≠ 0; for d = 0 the
// result is 0, so test d first.
func Frac(n, d int64) Num {
	switch d {
	case 0:
		return Num{}
	case 1:
		return Num{n: n}
	}
	if d == math.MinInt64 || n == math.MinInt64 {
		return FromRat(new(big.Rat).SetFrac(big.NewInt(n), big.NewInt(d)))
	}
	if d < 0 {
		n, d = -n, -d
	}
	g := int64(gcd(magnitude(n), uint64(d)))
	return Num{n: n / g, e: d/g - 1}
}

// FromRat is the rational r, which is copied.
func FromRat(r *big.Rat) Num { return fromRat(new(big.Rat).Set(r)) }

// FromBigInt is the integer k, which is copied.
func FromBigInt(k *big.Int) Num {
	if k.IsInt64() {
		return Num{n: k.Int64()}
	}
	return Num{w: &wide{rat: new(big.Rat).SetInt(k)}}
}

// fromRat takes r over.
func fromRat(r *big.Rat) Num {
	if r.Num().IsInt64() && r.Denom().IsInt64() {
		return Num{n: r.Num().Int64(), e: r.Denom().Int64() - 1}
	}
	return Num{w: &wide{rat: r}}
}

// fromTerms takes over terms that are in order with no zero among them.
func fromTerms(ts []term) Num {
	switch {
	case len(ts) == 0:
		return Num{}
	case len(ts) == 1 && ts[0].d.IsOne():
		return ts[0].c
	}
	return Num{w: &wide{sum: ts}}
}

// IsZero reports a = 0.
func (a Num) IsZero() bool { return a.n == 0 && a.w == nil }

// IsOne reports a = 1.
func (a Num) IsOne() bool { return a.n == 1 && a.e == 0 && a.w == nil }

// IsRational reports that a has no square root in it.
func (a Num) IsRational() bool { return a.w == nil || a.w.rat != nil }

// IsInteger reports that a is an integer.
func (a Num) IsInteger() bool {
	if a.w == nil {
		return a.e == 0
	}
	return a.w.rat != nil && a.w.rat.IsInt()
}

// Int64 is a as a machine integer, if it is one.
func (a Num) Int64() (int64, bool) { return a.n, a.w == nil && a.e == 0 }

// Fraction is a as a fraction of machine integers in lowest terms with d > 0,
// if it is one that fits.
func (a Num) Fraction() (n, d int64, ok bool) { return a.n, a.e + 1, a.w == nil }

// EachTerm visits the terms c·√d of a, the radicands d rising, until visit
// returns false; a rational other than 0 is one term with d = 1.
func (a Num) EachTerm(visit func(d, c Num) bool) {
	if a.w == nil || a.w.rat != nil {
		if !a.IsZero() {
			visit(Int(1), a)
		}
		return
	}
	for _, t := range a.w.sum {
		if !visit(t.d, t.c) {
			return
		}
	}
}

// Rat is a as a fresh rational, if it is one.
func (a Num) Rat() (*big.Rat, bool) {
	if !a.IsRational() {
		return nil, false
	}
	return new(big.Rat).Set(a.rat()), true
}

// rat is the rational a; a large one is shared and must not be written to.
func (a Num) rat() *big.Rat {
	if a.w != nil {
		return a.w.rat
	}
	return new(big.Rat).SetFrac64(a.n, a.e+1)
}

// Numerator is a·Denominator(): for a rational the numerator in lowest terms,
// with its sign.
func (a Num) Numerator() Num {
	if a.w == nil {
		return Num{n: a.n}
	}
	if a.w.rat != nil {
		return FromBigInt(a.w.rat.Num())
	}
	return a.Mul(a.Denominator())
}

// Denominator is the least positive integer q for which every coefficient of
// q·a is an integer: the denominator of a rational in lowest terms.
func (a Num) Denominator() Num {
	if a.w == nil {
		return Num{n: a.e + 1}
	}
	if a.w.rat != nil {
		return FromBigInt(a.w.rat.Denom())
	}
	q := Int(1)
	for _, t := range a.w.sum {
		q = LCM(q, t.c.Denominator())
	}
	return q
}

// Bits is the size of a for budgets: the longer of numerator and denominator
// in bits, for a sum of square roots added up over its terms together with
// the radicands.
func (a Num) Bits() int {
	if a.w == nil {
		return max(bits.Len64(magnitude(a.n)), bits.Len64(uint64(a.e+1)))
	}
	if a.w.rat != nil {
		return max(a.w.rat.Num().BitLen(), a.w.rat.Denom().BitLen())
	}
	total := 0
	for _, t := range a.w.sum {
		total += t.c.Bits() + t.d.Bits()
	}
	return total
}

// Radicands lists the squarefree d > 1 for which √d occurs in a, rising.
func (a Num) Radicands() []*big.Int {
	var ds []*big.Int
	for _, t := range a.terms() {
		if !t.d.IsOne() {
			ds = append(ds, t.d.bigInt())
		}
	}
	return ds
}

// Coefficient is the rational c of the term c·√d of a, with d = 1 for the
// rational part. Domain: d squarefree; for any other d the result is 0.
func (a Num) Coefficient(d Num) Num {
	for _, t := range a.terms() {
		if t.d.Equal(d) {
			return t.c
		}
	}
	return Num{}
}

// terms is a as a sum, empty for 0; not to be written to.
func (a Num) terms() []term {
	switch {
	case a.IsZero():
		return nil
	case a.IsRational():
		return []term{{d: Int(1), c: a}}
	}
	return a.w.sum
}

// bigInt is the integer a as a fresh big.Int.
func (a Num) bigInt() *big.Int {
	if a.w == nil {
		return big.NewInt(a.n)
	}
	return new(big.Int).Set(a.w.rat.Num())
}

// Small reports that a is a rational kept in machine words, at most 64 bits
// in either part.
func (a Num) Small() bool { return a.w == nil }
