package number

import "math/big"

// trialLimit bounds the divisors tried when squares are taken out of a
// radicand: what is left below trialLimit³ is then a square or squarefree.
const trialLimit = 10_000

// maxRadicandBits bounds the integers that are searched for square factors.
const maxRadicandBits = 1024

// Sqrt is the non-negative root of a, if it lies in a field of square roots
// of integers and is found there; a negative number has none.
//
// Domain: a rational whose numerator and denominator are squares times a
// number that trial division up to 10⁴ brings below 10¹²; or a sum of roots
// that denests, such as 3 + 2√2 = (1 + √2)². Otherwise false, which for a
// positive a means "not found here".
//
// Exact: the result is squared and compared before it is given.
//
// Source: elementary; denesting by √(x+y√q) = √((x+s)/2) ± √((x−s)/2) with
// s² = x² − q·y², applied again when s is itself a sum (A. Borodin, R. Fagin,
// J. E. Hopcroft, M. Tompa, Decreasing the nesting depth of expressions
// involving square roots, J. Symb. Comput. 1 (1985), from memory).
func (a Num) Sqrt() (Num, bool) { return a.sqrt(maxConjugations) }

func (a Num) sqrt(depth int) (Num, bool) {
	if a.Sign() < 0 {
		return Num{}, false
	}
	q, sum := a.generator()
	if !sum {
		return sqrtRational(a)
	}
	if depth == 0 {
		return Num{}, false
	}
	x, y := a.split(q)
	s, ok := x.Mul(x).Sub(y.Mul(y).Mul(q)).sqrt(depth - 1)
	if !ok {
		return Num{}, false
	}
	half := Frac(1, 2)
	u, ok1 := x.Add(s).Mul(half).sqrt(depth - 1)
	v, ok2 := x.Sub(s).Mul(half).sqrt(depth - 1)
	if !ok1 || !ok2 {
		return Num{}, false
	}
	if y.Sign() < 0 {
		v = v.Neg()
	}
	root := u.Add(v).Abs()
	return root, root.Mul(root).Equal(a)
}

// sqrtRational writes √(n/d) as s/(t·e)·√(m·e) with n = s²m, d = t²e.
func sqrtRational(a Num) (Num, bool) {
	if a.IsZero() {
		return a, true
	}
	s, m, ok1 := takeSquares(a.Numerator())
	t, e, ok2 := takeSquares(a.Denominator())
	if !ok1 || !ok2 {
		return Num{}, false
	}
	c, ok := s.Div(t.Mul(e))
	d := m.Mul(e)
	if d.IsOne() {
		return c, ok
	}
	return fromTerms([]term{{d, c}}), ok
}

// takeSquares writes the positive integer n as s²·m with m squarefree.
func takeSquares(n Num) (s, m Num, ok bool) {
	s, m = Int(1), Int(1)
	if r, exact := squareRoot(n); exact {
		return r, m, true
	}
	if n.Bits() > maxRadicandBits {
		return s, m, false
	}
	var by divider
	take := func(p int64) {
		for by.remainder(n, p) == 0 {
			n = quo(n, Int(p))
			if by.remainder(n, p) == 0 {
				n = quo(n, Int(p))
				s = s.Mul(Int(p))
			} else {
				m = m.Mul(Int(p))
			}
		}
	}
	take(2)
	for p := int64(3); p < trialLimit; p += 8 {
		if k, small := n.Int64(); small && k/p/p < p {
			// All divisors below p are out: n is 1, a prime, a product of two
			// primes or the square of one.
			break
		}
		// Four candidates share one long division.
		rest := by.remainder(n, p*(p+2)*(p+4)*(p+6))
		for q := p; q < p+8; q += 2 {
			if rest%q == 0 {
				take(q)
			}
		}
	}
	if r, exact := squareRoot(n); exact {
		return s.Mul(r), m, true
	}
	k, small := n.Int64()
	return s, m.Mul(n), small && k <= trialLimit*trialLimit*trialLimit
}

// divider is the room of long divisions, used again and again.
type divider struct{ q, r, d big.Int }

// remainder is n modulo p for a positive integer n.
func (w *divider) remainder(n Num, p int64) int64 {
	if n.w == nil {
		return n.n % p
	}
	w.q.QuoRem(n.w.rat.Num(), w.d.SetInt64(p), &w.r)
	return w.r.Int64()
}

// squareRoot is the root of the positive integer n if n is a square.
func squareRoot(n Num) (Num, bool) {
	if k, small := n.Int64(); small && !squareResidue(k) {
		return Num{}, false
	}
	b := n.bigInt()
	r := new(big.Int).Sqrt(b)
	if new(big.Int).Mul(r, r).Cmp(b) != 0 {
		return Num{}, false
	}
	return FromBigInt(r), true
}

// squareResidue sieves: a square is 0, 1, 4 or 9 modulo 16.
func squareResidue(k int64) bool {
	switch k & 15 {
	case 0, 1, 4, 9:
		return true
	}
	return false
}
