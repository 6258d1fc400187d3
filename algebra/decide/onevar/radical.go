package onevar

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
)

// WithoutRoots is a formula without root symbols that holds exactly where f
// does: |e| by the sign of e, a + b√g by squaring with the signs of a and b
// kept apart, a + b·∛g (any odd order) by raising to that power. f must be
// made by the scope, so that the domain of each root stands beside it; ok is
// false for a root of even order above 2 and for powers of odd roots.
//
// Cost: each root multiplies the conditions it occurs in by up to six.
// Source: V. Weispfenning, Quantifier elimination for real algebra, the
// quadratic case and beyond, AAECC 8 (1997), section 3 (from memory).
func WithoutRoots(s *formula.Scope, f *formula.Formula) (g *formula.Formula, ok bool) {
	// A later symbol may stand for a root of earlier ones, never the reverse.
	for k := len(s.Symbols) - 1; k >= 0; k-- {
		e := elimination{s.Ring, s.Symbols[k], true}
		if f = e.formula(f); !e.ok || s.Ring.Meter().Exhausted() {
			return nil, false
		}
	}
	return f, true
}

// elimination removes one symbol.
type elimination struct {
	*poly.Ring
	root formula.Symbol
	ok   bool
}

func (e *elimination) formula(f *formula.Formula) *formula.Formula {
	switch f.Op {
	case formula.Is:
		if e.DegreeIn(f.Cond.P, e.root.Var) < 1 {
			return f
		}
		return e.condition(f.Cond)
	case formula.All, formula.Any:
		kids := make([]*formula.Formula, len(f.Kids))
		for i, k := range f.Kids {
			kids[i] = e.formula(k)
		}
		if f.Op == formula.All {
			return formula.And(kids...)
		}
		return formula.Or(kids...)
	}
	return f
}

func (e *elimination) condition(c poly.Condition) *formula.Formula {
	num, den := e.root.Of.Num, e.root.Of.Den
	if e.root.Power%2 == 1 {
		cs := e.Coeffs(c.P, e.root.Var)
		if len(cs) != 2 { // more, or none when the meter is exhausted
			e.ok = false
			return formula.Never()
		}
		// t ↦ t^k is rising, so a > −b·∛g exactly when a³ > −b³·g.
		a, b := e.Pow(cs[0], e.root.Power), e.Pow(cs[1], e.root.Power)
		return is(e.Add(e.Mul(a, e.Square(den)), e.Mul(b, e.Mul(num, den))), c.Rel)
	}
	if e.root.Power != 2 {
		e.ok = false
		return formula.Never()
	}
	a, b := e.split(c.P)
	if abs := e.root.Abs; abs != nil {
		inner := e.Mul(abs.Num, abs.Den) // the sign of e, and e·Den²
		a, b = e.Mul(a, e.Square(abs.Den)), e.Mul(b, inner)
		return formula.Or(
			formula.And(is(inner, poly.Ge), is(e.Add(a, b), c.Rel)),
			formula.And(is(inner, poly.Lt), is(e.Sub(a, b), c.Rel)))
	}
	if c.Rel == poly.Lt || c.Rel == poly.Le {
		a, b, c.Rel = e.Neg(a), e.Neg(b), c.Rel.Flip()
	}
	// a² − b²·g, times Den².
	norm := e.Sub(e.Square(e.Mul(a, den)), e.Mul(e.Square(b), e.Mul(num, den)))
	switch c.Rel {
	case poly.Eq:
		return formula.And(is(norm, poly.Eq), is(e.Mul(a, b), poly.Le))
	case poly.Ne:
		return formula.Or(is(norm, poly.Ne), is(e.Mul(a, b), poly.Gt))
	case poly.Gt:
		return formula.Or(
			formula.And(is(a, poly.Gt), is(b, poly.Ge)),
			formula.And(is(a, poly.Gt), is(norm, poly.Gt)),
			formula.And(is(b, poly.Gt), is(norm, poly.Lt)))
	default:
		return formula.Or(
			formula.And(is(a, poly.Ge), is(b, poly.Ge)),
			formula.And(is(a, poly.Ge), is(norm, poly.Ge)),
			formula.And(is(b, poly.Ge), is(norm, poly.Le)))
	}
}

// split writes p, times an even power of Den, as a + b·root with the square
// of the root put in.
func (e *elimination) split(p poly.Poly) (a, b poly.Poly) {
	cs := e.Coeffs(p, e.root.Var)
	m := (len(cs) - 1) / 2
	for k, c := range cs {
		j := k / 2
		c = e.Mul(c, e.Mul(e.Pow(e.root.Of.Num, j), e.Pow(e.root.Of.Den, 2*m-j)))
		if k%2 == 0 {
			a = e.Add(a, c)
		} else {
			b = e.Add(b, c)
		}
	}
	return a, b
}

func is(p poly.Poly, rel poly.Rel) *formula.Formula {
	return formula.Condition(poly.Condition{P: p, Rel: rel})
}
