package move

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
)

// factoring is the core of multiplying and dividing both sides: one difference
// is the other one times By.
type factoring struct {
	ok       bool
	multiply bool             // To is From times By; else From is To times By
	by       formula.Fraction // a polynomial, or one over a polynomial
	forward  Way
	backward Way
}

// factor finds the quantity by which one line is the other, and what must be
// known about its sign.
//
// For D > 0 ⇔ q·D > 0 the quantity q must be positive; for D ≥ 0 ⇒ q·D ≥ 0 not
// negative; for D = 0 ⇔ q·D = 0 not zero. A line whose difference is a number
// is no partner: dividing a claim by itself proves nothing.
func (p *Pair) factor() *factoring {
	if p.factors == nil {
		p.factors = p.findFactor()
	}
	return p.factors
}

func (p *Pair) findFactor() *factoring {
	none := &factoring{}
	a, b, ok := p.atoms()
	if !ok || a.Diff.Num.IsZero() || b.Diff.Num.IsZero() {
		return none
	}
	if _, number := constant(a.Diff); number {
		return none
	}
	if _, number := constant(b.Diff); number {
		return none
	}
	if a.Sign != b.Sign && !weaker(a.Sign, b.Sign) && !weaker(b.Sign, a.Sign) {
		return none
	}
	r := p.Ring
	x, y := a.Diff.Num, b.Diff.Num
	if !r.Equal(a.Diff.Den, b.Diff.Den) {
		x, y = r.Mul(x, b.Diff.Den), r.Mul(y, a.Diff.Den)
	}
	f := &factoring{ok: true}
	if q, ok := r.DivExact(y, x); ok { // To = q·From
		f.multiply, f.by = true, p.fraction(q)
	} else if q, ok := r.DivExact(x, y); ok {
		f.by = p.fraction(q)
	} else {
		return none
	}
	f.forward, f.backward = p.signedFactor(f.by.Num, a, b, f.multiply)
	return f
}

// signedFactor settles the two directions for a factor q.
func (p *Pair) signedFactor(q poly.Poly, a, b *Atom, multiply bool) (forward, backward Way) {
	forward = p.onFactor(q, a, b, p.From, multiply)
	backward = p.onFactor(q, b, a, p.To, !multiply)
	r := p.whereDefined(Result{Forward: forward, Backward: backward})
	return r.Forward, r.Backward
}

// onFactor is the way from one relation to another whose difference is q
// times (times) or one q-th of the first.
func (p *Pair) onFactor(q poly.Poly, from, to *Atom, line *Line, times bool) Way {
	need, possible, free := factorNeeds(from.Sign, to.Sign, times)
	switch {
	case !possible:
		return Way{}
	case free:
		return proved
	}
	w := p.towards(to, []poly.Condition{{P: q, Rel: need}}, line)
	for i, c := range w.Needs {
		if c.Rel == poly.Ge {
			w.Needs[i].Rel = poly.Gt // what a teacher asks for: q > 0
		}
	}
	return w
}

// factorNeeds is the sign of q that leads from d from 0 to q·d to 0 (times), or
// from q·d from 0 to d to 0. free: any q will do.
func factorNeeds(from, to poly.Rel, times bool) (need poly.Rel, possible, free bool) {
	switch {
	case !weaker(from, to):
		return 0, false, false
	case from == poly.Eq && times, from == poly.Ne && !times:
		return 0, true, true
	case from == poly.Eq, from == poly.Ne, from == poly.Gt && to == poly.Ne && times:
		return poly.Ne, true, false
	case from == poly.Gt && to == poly.Ne:
		return 0, true, true
	case times && to == poly.Ge, !times && from == poly.Gt:
		return poly.Ge, true, false
	}
	return poly.Gt, true, false
}

// visibleFactor reports that a factor stands in the written line: every term
// of both sides carries it.
func (s *Setting) visibleFactor(q poly.Poly, a *Atom) bool {
	return s.carries(q, &a.Left) && s.carries(q, &a.Right)
}

func (s *Setting) carries(q poly.Poly, side *Side) bool {
	for _, t := range s.summands(side) {
		if _, ok := s.Ring.DivExact(s.worth(t).Num, q); !ok {
			return false
		}
	}
	return true
}

// seen reports that a factor was used openly: every term of the longer line
// carries it, or, where its sign is established, both sides of one line are
// those of the other times it, or its sign can be read off.
func (p *Pair) seen(f *factoring, long, short *Atom) bool {
	q := f.by
	if p.visibleFactor(q.Num, long) {
		return true
	}
	if f.forward.Status != Proved {
		return false
	}
	if p.signOf(q.Num) != anySign {
		return true
	}
	return p.Setting.same(long.folded[0], p.times(short.folded[0], q)) && p.Setting.same(long.folded[1], p.times(short.folded[1], q)) ||
		p.Setting.same(long.folded[1], p.times(short.folded[0], q)) && p.Setting.same(long.folded[0], p.times(short.folded[1], q))
}
