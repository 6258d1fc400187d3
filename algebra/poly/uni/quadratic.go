package uni

import (
	"math/big"

	"squaremark/algebra/number"
)

// ExactValue is the root as a number, when it is rational or a root of a
// quadratic factor whose square root number.Num.Sqrt finds.
//
// With rational coefficients such a factor is searched: the other root b of
// the factor of an irrational root a is real as well, and with the leading
// coefficient L the numbers L·(a+b) and L·a·b are integers, so that intervals
// shorter than 1 leave one candidate, which is tested by division. With
// square roots among the coefficients only what the rational roots leave is
// solved, if its degree is 1 or 2.
func (r Root) ExactValue() (number.Num, bool) {
	if r.Exact() {
		return r.Lo, true
	}
	if rest := r.t.irrational(); len(rest) <= 3 {
		return r.solve(rest)
	}
	if r.t.z == nil {
		return number.Num{}, false
	}
	for _, other := range r.t.roots {
		if other.Exact() || other.Lo.Cmp(r.Hi) < 0 && r.Lo.Cmp(other.Hi) < 0 {
			continue
		}
		if q, ok := r.quadratic(other); ok {
			return r.solve(q)
		}
		if r.t.m.Exhausted() {
			break
		}
	}
	return number.Num{}, false
}

// irrational is the polynomial without its rational roots.
func (t *target) irrational() Uni {
	f := t.f
	for _, r := range t.roots {
		if r.Exact() {
			f, _, _ = f.DivRem(New(r.Lo.Neg(), number.Int(1)))
		}
	}
	return f
}

// quadratic is the rational quadratic with the roots r and b, if there is one.
func (r Root) quadratic(b Root) (Uni, bool) {
	lead, unit := r.t.f.Lead(), number.Int(1)
	a, b := Refine(r, unit), Refine(b, unit)
	size := a.Lo.Abs().Add(b.Lo.Abs()).Add(number.Int(4))
	width, _ := lead.Mul(size).Inv() // so that a·b is off by less than 1/L
	a, b = Refine(a, width), Refine(b, width)
	if a.Exact() || b.Exact() {
		return nil, false
	}
	sum, ok1 := integerIn(a.Lo.Add(b.Lo).Mul(lead), a.Hi.Add(b.Hi).Mul(lead))
	lo, hi := mulIntervals(a.Lo, a.Hi, b.Lo, b.Hi)
	product, ok2 := integerIn(lo.Mul(lead), hi.Mul(lead))
	if !ok1 || !ok2 {
		return nil, false
	}
	q := New(product, sum.Neg(), lead)
	_, rest, ok := r.t.f.DivRem(q)
	return q, ok && rest.IsZero() && a.isRootOf(q) && b.isRootOf(q)
}

// integerIn is the least integer strictly between lo and hi.
func integerIn(lo, hi number.Num) (number.Num, bool) {
	k := lo.Floor()
	n := number.FromBigInt(k.Add(k, big.NewInt(1)))
	return n, n.Cmp(hi) < 0
}

// solve is the root of f in the interval of r by the formula, for degree 1
// or 2.
func (r Root) solve(f Uni) (number.Num, bool) {
	a, b, c := f.Coef(2), f.Coef(1), f.Coef(0)
	if a.IsZero() {
		return c.Neg().Div(b)
	}
	root, ok := b.Mul(b).Sub(number.Int(4).Mul(a).Mul(c)).Sqrt()
	if !ok {
		return number.Num{}, false
	}
	for _, s := range []number.Num{root, root.Neg()} {
		x, ok := s.Sub(b).Div(a.Add(a))
		if ok && r.Lo.Cmp(x) < 0 && x.Cmp(r.Hi) < 0 {
			return x, true
		}
	}
	return number.Num{}, false
}
