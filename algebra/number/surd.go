package number

import "slices"

// maxConjugations bounds the independent square roots of a number that Inv
// and Sqrt take apart: the work doubles with each.
const maxConjugations = 6

// addSums merges two sums of roots.
func addSums(a, b Num) Num {
	x, y := a.terms(), b.terms()
	out := make([]term, 0, len(x)+len(y))
	for len(x) > 0 && len(y) > 0 {
		switch x[0].d.cmpRational(y[0].d) {
		case -1:
			out, x = append(out, x[0]), x[1:]
		case 1:
			out, y = append(out, y[0]), y[1:]
		default:
			if c := x[0].c.Add(y[0].c); !c.IsZero() {
				out = append(out, term{x[0].d, c})
			}
			x, y = x[1:], y[1:]
		}
	}
	return fromTerms(append(append(out, x...), y...))
}

// mulSums multiplies term by term: √a·√b = g·√(a/g · b/g) with g = gcd(a, b),
// which is squarefree again, so that nothing has to be factored.
func mulSums(a, b Num) Num {
	x, y := a.terms(), b.terms()
	out := make([]term, 0, len(x)*len(y))
	for _, s := range x {
		for _, t := range y {
			g := GCD(s.d, t.d)
			d := quo(s.d, g).Mul(quo(t.d, g))
			out = append(out, term{d, s.c.Mul(t.c).Mul(g)})
		}
	}
	slices.SortFunc(out, func(s, t term) int { return s.d.cmpRational(t.d) })
	return fromTerms(collect(out))
}

// collect adds up neighbours with one radicand and drops zeros, in place.
func collect(ts []term) []term {
	n := 0
	for i := 0; i < len(ts); {
		t := ts[i]
		for i++; i < len(ts) && ts[i].d.Equal(t.d); i++ {
			t.c = t.c.Add(ts[i].c)
		}
		if !t.c.IsZero() {
			ts[n] = t
			n++
		}
	}
	return ts[:n]
}

// quo is a/b for integers where b divides a and is positive.
func quo(a, b Num) Num {
	if a.w == nil && b.w == nil {
		return Num{n: a.n / b.n}
	}
	q, _ := a.Div(b)
	return q
}

// generator is an integer q > 1 that divides some radicand of a and is
// coprime to or a divisor of every one, so that √q ↦ −√q extends to an
// automorphism; false for a rational number.
func (a Num) generator() (Num, bool) {
	ts := a.terms()
	if len(ts) == 0 || len(ts) == 1 && ts[0].d.IsOne() {
		return Num{}, false
	}
	q := ts[len(ts)-1].d
	for _, t := range ts {
		if g := GCD(q, t.d); !g.IsOne() {
			q = g
		}
	}
	return q, true
}

// split writes a = x + y·√q for a generator q; no radicand of x or y has a
// factor in common with q.
func (a Num) split(q Num) (x, y Num) {
	var xs, ys []term
	for _, t := range a.terms() {
		if GCD(q, t.d).IsOne() {
			xs = append(xs, t)
		} else {
			ys = append(ys, term{quo(t.d, q), t.c})
		}
	}
	return fromTerms(xs), fromTerms(ys)
}

// conjugate negates the roots whose radicand q divides.
func (a Num) conjugate(q Num) Num {
	ts := slices.Clone(a.terms())
	for i, t := range ts {
		if !GCD(q, t.d).IsOne() {
			ts[i].c = t.c.Neg()
		}
	}
	return fromTerms(ts)
}

// invSum makes the denominator rational: with a' the conjugate over √q the
// product a·a' is free of q, so that at most one step per independent root is
// needed. a is not zero.
func invSum(a Num) (Num, bool) {
	above, below := Int(1), a
	for range maxConjugations {
		q, more := below.generator()
		if !more {
			break
		}
		c := below.conjugate(q)
		above, below = above.Mul(c), below.Mul(c)
	}
	if !below.IsRational() {
		return Num{}, false
	}
	inv, ok := below.Inv()
	return above.Mul(inv), ok
}
