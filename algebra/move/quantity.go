package move

import (
	"squaremark/algebra/decide"
	"squaremark/algebra/evidence"
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// quantity is the core of solving: two lines that speak about one quantity
// only, such as x, x - 3 or x^2, are compared on the line of its values, where
// one-variable questions are decided completely.
type quantity struct {
	t    poly.Poly // monic, without a constant term
	ring *poly.Ring
	of   *formula.Scope
	ends []number.Num // the numbers that the solved line compares t with
}

// maxPower bounds the degree in a quantity, maxEnds the values it is compared
// with.
const (
	maxPower = 12
	maxEnds  = 60
)

// solvedFor recognises a line in which every relation compares one and the
// same quantity with a number.
func (s *Setting) solvedFor(l *Line) (*quantity, bool) {
	q := &quantity{}
	if !s.gather(l, q) || len(q.ends) == 0 {
		return nil, false
	}
	out := s.quantityOf(q.t)
	out.ends = q.ends
	return out, true
}

// quantityOf makes the line of values of a polynomial.
func (s *Setting) quantityOf(t poly.Poly) *quantity {
	q := &quantity{t: t}
	v := formula.Variable{Name: "t"}
	if i, ok := s.Ring.OnlyVar(q.t); ok && s.Ring.Equal(q.t, s.Ring.Var(i)) && i < len(s.Vars) {
		v.Range = s.Vars[i].Range
	}
	q.ring = poly.NewRing([]string{"t"}, s.Ring.Meter())
	q.of = &formula.Scope{Ring: q.ring, Vars: []formula.Variable{v}}
	return q
}

func (s *Setting) gather(l *Line, q *quantity) bool {
	switch l.Shape {
	case Single:
		t, end, ok := s.linearIn(l.Atom)
		if !ok || len(q.ends) >= maxEnds || len(q.ends) > 0 && !s.Ring.Equal(t, q.t) {
			return false
		}
		q.t = t
		q.ends = append(q.ends, end)
		return true
	case Both, Either:
		for _, k := range l.Kids {
			if !s.gather(k, q) {
				return false
			}
		}
		return true
	}
	return false
}

// linearIn writes a relation as t against a number.
func (s *Setting) linearIn(a *Atom) (t poly.Poly, end number.Num, ok bool) {
	f, ok := s.polynomial(a.Diff)
	if !ok || len(a.Domain) > 0 || f.Degree() < 1 {
		return t, end, false
	}
	inv, _ := f.LeadCoef().Inv()
	f = s.Ring.Scale(f, inv)
	c := s.Ring.Coef(f, make([]int, s.Ring.Len()))
	return s.Ring.Sub(f, s.Ring.Const(c)), c.Neg(), true
}

// express writes a line as a formula about the quantity.
func (s *Setting) express(l *Line, q *quantity) (*formula.Formula, bool) {
	switch l.Shape {
	case Single:
		if f, ok := s.expand(l.Atom, q); ok {
			return formula.Condition(poly.Condition{P: f, Rel: l.Atom.Sign}), true
		}
		return s.withModulus(l.Atom, q)
	case Both, Either:
		kids := make([]*formula.Formula, len(l.Kids))
		for i, k := range l.Kids {
			f, ok := s.express(k, q)
			if !ok {
				return nil, false
			}
			kids[i] = f
		}
		if l.Shape == Both {
			return formula.And(kids...), true
		}
		return formula.Or(kids...), true
	}
	return nil, false
}

// expand writes a difference as a polynomial in the quantity, by dividing by
// it again and again.
func (s *Setting) expand(a *Atom, q *quantity) (poly.Poly, bool) {
	f, ok := s.polynomial(a.Diff)
	if !ok || len(a.Domain) > 0 {
		return poly.Poly{}, false
	}
	return s.inPowersOf(f, q)
}

func (s *Setting) inPowersOf(f poly.Poly, q *quantity) (poly.Poly, bool) {
	var cs []poly.Poly
	for !f.IsZero() {
		if len(cs) > maxPower {
			return poly.Poly{}, false
		}
		over, rest := s.Ring.Reduce(f, []poly.Poly{q.t})
		c, ok := rest.IsConst()
		if !ok {
			return poly.Poly{}, false
		}
		cs = append(cs, q.ring.Const(c))
		f = over[0]
	}
	return q.ring.FromCoeffs(0, cs), true
}

// withModulus writes a relation with one modulus in it as two cases.
func (s *Setting) withModulus(a *Atom, q *quantity) (*formula.Formula, bool) {
	f, ok := s.polynomial(a.Diff)
	if !ok || len(a.Domain) > 0 {
		return nil, false
	}
	for _, y := range s.Symbols {
		if y.Abs == nil || s.Ring.DegreeIn(f, y.Var) == 0 {
			continue
		}
		inner, ok := s.polynomial(*y.Abs)
		if !ok {
			return nil, false
		}
		t, okT := s.inPowersOf(inner, q)
		up, okUp := s.inPowersOf(s.Ring.Subst(f, y.Var, inner), q)
		down, okDown := s.inPowersOf(s.Ring.Subst(f, y.Var, s.Ring.Neg(inner)), q)
		if !okT || !okUp || !okDown {
			return nil, false
		}
		return formula.Or(
			formula.And(formula.Condition(poly.Condition{P: t, Rel: poly.Ge}), formula.Condition(poly.Condition{P: up, Rel: a.Sign})),
			formula.And(formula.Condition(poly.Condition{P: t, Rel: poly.Lt}), formula.Condition(poly.Condition{P: down, Rel: a.Sign}))), true
	}
	return nil, false
}

// follows asks package decide on the line of values.
func (q *quantity) follows(from, to *formula.Formula) bool {
	m := q.ring.Meter()
	if m.Exhausted() {
		return false
	}
	part := *q.of
	part.Ring = q.ring.With(m.Part(m.Left() / questionShare))
	return decide.Always(&part, from, to).Verdict == evidence.Holds && !part.Ring.Meter().Exhausted()
}

// rootsOf reports that every end of the solved line is a root of f.
func (q *quantity) rootsOf(f poly.Poly) bool {
	for _, e := range q.ends {
		if !q.ring.EvalAll(f, []number.Num{e}).IsZero() {
			return false
		}
	}
	return true
}

// solvesTo compares a relation of at least degree two in a quantity with a
// line that is solved for it. Each end of the solved line must be a root,
// unless an equation is followed by a longer list of values.
func (p *Pair) solvesTo() Result {
	if p.From.Shape != Single || p.To.Shape == Opaque || p.To.Shape == Nothing {
		return refused(CodeShape)
	}
	q, ok := p.solvedFor(p.To)
	if !ok {
		return refused(CodeShape)
	}
	f, ok := p.expand(p.From.Atom, q)
	if !ok || q.ring.DegreeIn(f, 0) < 2 {
		return refused(CodeShape)
	}
	roots := q.rootsOf(f)
	if !roots && p.From.Atom.Sign != poly.Eq {
		return refused(CodeUnequal)
	}
	to, ok := p.express(p.To, q)
	if !ok {
		return refused(CodeShape)
	}
	from := formula.Condition(poly.Condition{P: f, Rel: p.From.Atom.Sign})
	var r Result
	if q.follows(from, to) {
		r.Forward = proved
	}
	if roots && q.follows(to, from) {
		r.Backward = proved
	}
	if !r.found() {
		r.Code = CodeUnequal
	}
	return r
}
