package uni

import (
	"squaremark/algebra/budget"
	"squaremark/algebra/number"
)

// Root is one real root of a polynomial, as Isolate gives it: the rational
// Lo = Hi, or the only root of the square-free part between Lo and Hi, where
// that part changes sign. Immutable; refining gives another Root.
type Root struct {
	Lo, Hi number.Num
	t      *target
}

// Exact reports that the root is the rational number Lo.
func (r Root) Exact() bool { return r.Lo.Equal(r.Hi) }

// Poly is a square-free polynomial of which r is a root.
func (r Root) Poly() Uni {
	if r.t == nil {
		return New(r.Lo.Neg(), number.Int(1))
	}
	return r.t.f
}

// Refine narrows the interval of r to at most width by bisection. Domain:
// width > 0; otherwise r is given back.
func Refine(r Root, width number.Num) Root {
	if width.Sign() <= 0 || r.Exact() {
		return r
	}
	low := r.t.signAt(r.Lo)
	for r.Hi.Sub(r.Lo).Cmp(width) > 0 && r.t.step() {
		if r = r.halve(low); r.Exact() {
			break
		}
	}
	return r
}

// halve is one bisection; low is the sign at Lo.
func (r Root) halve(low int) Root {
	mid := r.Lo.Add(r.Hi).Mul(half)
	switch r.t.signAt(mid) {
	case 0:
		r.Lo, r.Hi = mid, mid
	case low:
		r.Lo = mid
	default:
		r.Hi = mid
	}
	return r
}

// quarter narrows the interval to a quarter.
func (r Root) quarter() Root { return Refine(r, r.Hi.Sub(r.Lo).Mul(number.Frac(1, 4))) }

// Cmp is −1, 0 or 1 as the root is less than, equal to or greater than x.
func (r Root) Cmp(x number.Num) int {
	switch {
	case x.Cmp(r.Lo) < 0 || !r.Exact() && x.Equal(r.Lo):
		return 1
	case x.Cmp(r.Hi) > 0 || !r.Exact() && x.Equal(r.Hi):
		return -1
	case r.Exact():
		return 0
	}
	switch s := r.t.signAt(x); s {
	case 0:
		return 0
	case r.t.signAt(r.Lo):
		return 1
	}
	return -1
}

// isRootOf reports that g, which divides the polynomial of r, is 0 at r: as
// r is the only root there, that is when g changes sign.
func (r Root) isRootOf(g Uni) bool {
	if r.Exact() {
		return g.SignAt(r.Lo) == 0
	}
	return g.SignAt(r.Lo) != g.SignAt(r.Hi)
}

// SignAtRoot is the sign of g at r, exactly: 0 is proved by a common divisor,
// any other sign by an interval that is refined until it is free of 0.
func SignAtRoot(g Uni, r Root) int {
	if r.Exact() {
		return g.SignAt(r.Lo)
	}
	if g.IsZero() || r.isRootOf(GCD(g, r.t.f, r.t.m)) {
		return 0
	}
	for bits := 8; !r.t.m.Exhausted(); bits *= 2 {
		width, _ := number.Int(2).Pow(bits).Inv()
		if r = Refine(r, width); r.Exact() {
			return g.SignAt(r.Lo)
		}
		if !r.t.m.Spend(int64(len(g) * (1 + bits/64) * budget.CostEvaluate)) {
			break
		}
		lo, hi := enclose(g, r.Lo, r.Hi, bits)
		if lo.Sign() > 0 {
			return 1
		}
		if hi.Sign() < 0 {
			return -1
		}
	}
	return 0
}

// enclose bounds g on [lo, hi] by Horner's rule on intervals, the
// coefficients themselves enclosed to 2^−bits.
func enclose(g Uni, lo, hi number.Num, bits int) (low, high number.Num) {
	for k := len(g) - 1; k >= 0; k-- {
		a, b := g[k].Enclose(bits)
		low, high = mulIntervals(low, high, lo, hi)
		low, high = low.Add(a), high.Add(b)
	}
	return low, high
}

func mulIntervals(a, b, c, d number.Num) (lo, hi number.Num) {
	lo, hi = a.Mul(c), a.Mul(c)
	for _, p := range []number.Num{a.Mul(d), b.Mul(c), b.Mul(d)} {
		if p.Cmp(lo) < 0 {
			lo = p
		}
		if p.Cmp(hi) > 0 {
			hi = p
		}
	}
	return lo, hi
}

// Compare is −1, 0 or 1 as a is less than, equal to or greater than b, roots
// of two polynomials that need not be the same. Equality is proved by a common
// divisor with the root in both intervals.
func Compare(a, b Root) int {
	switch {
	case a.Exact():
		return -b.Cmp(a.Lo)
	case b.Exact():
		return a.Cmp(b.Lo)
	}
	m := a.t.m
	if a.Lo.Cmp(b.Hi) < 0 && b.Lo.Cmp(a.Hi) < 0 {
		g := GCD(a.t.f, b.t.f, m)
		if a.isRootOf(g) && b.isRootOf(g) {
			return compareSame(a, b)
		}
	}
	for !m.Exhausted() {
		switch {
		case a.Hi.Cmp(b.Lo) <= 0:
			return -1
		case b.Hi.Cmp(a.Lo) <= 0:
			return 1
		}
		if a, b = a.quarter(), b.quarter(); a.Exact() || b.Exact() {
			return Compare(a, b)
		}
	}
	return 0
}

// compareSame compares two roots of a's polynomial, none at the ends of a's
// interval: they are equal when b is inside it.
func compareSame(a, b Root) int {
	for !a.t.m.Exhausted() {
		switch {
		case b.Exact():
			return a.Cmp(b.Lo)
		case a.Hi.Cmp(b.Lo) <= 0:
			return -1
		case b.Hi.Cmp(a.Lo) <= 0:
			return 1
		case a.Lo.Cmp(b.Lo) <= 0 && b.Hi.Cmp(a.Hi) <= 0:
			return 0
		}
		b = b.quarter()
	}
	return 0
}
