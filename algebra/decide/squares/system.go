package squares

import (
	"slices"

	"squaremark/algebra/evidence"
	"squaremark/algebra/poly"
)

// fact is p ≥ 0, or p > 0 where strict. The polynomial of condition cond,
// turned to read ≥, is p times taken, which is the sum of the non-negative
// terms by; a nil by says that taken is 1. Where taken is, up to a sign, the
// product of polynomials that are given not to be zero, apart lists those
// conditions.
type fact struct {
	p      poly.Poly
	strict bool
	cond   int
	taken  poly.Poly
	by     []evidence.Term
	apart  []int
}

// isOne is the cond of the fact that the norm of a conjunction is 1.
const isOne = -1

// unequal is p ≠ 0, from condition cond.
type unequal struct {
	p    poly.Poly
	cond int
}

// equation is p = 0, from condition cond.
type equation struct {
	p    poly.Poly
	cond int
}

// system is a conjunction prepared for proofs: conditions turned to read ≥,
// factors of known sign taken out, and linear ones made variables.
type system struct {
	ring      *poly.Ring
	facts     []fact
	original  []poly.Poly // the polynomials of facts before the change of variables
	unequals  []unequal
	equations []equation
	ideal     []generator
	normed    []equation  // an equation that made the rest homogeneous
	back      []poly.Poly // the new variables in terms of the given ones; nil: the same
	forward   []poly.Poly // the given variables in terms of the new ones
}

// newSystem prepares c. With normed, the one equation of c is used to make
// everything homogeneous and then left aside.
func newSystem(c *evidence.Conjunction, r *poly.Ring, normed bool) *system {
	s := &system{ring: r}
	r.Meter().Spend(costSystem)
	for k, cond := range c.Conds {
		switch {
		case cond.Rel == poly.Eq && !cond.P.IsZero():
			s.equations = append(s.equations, equation{cond.P, k})
		case cond.Rel == poly.Ne:
			s.unequals = append(s.unequals, unequal{cond.P, k})
		}
	}
	s.facts = newFacts(c, r)
	if normed {
		s.makeHomogeneous(c)
	}
	s.takeOutFactors(c)
	s.dropImplied(c)
	s.dropRepeated()
	for _, f := range s.facts {
		s.original = append(s.original, f.p)
	}
	s.changeVariables()
	return s
}

// makeHomogeneous raises everything to homogeneous polynomials by the norm of
// c, where there is one.
func (s *system) makeHomogeneous(c *evidence.Conjunction) {
	n, ok := normOf(c, s.ring)
	if !ok {
		return
	}
	for i := range s.facts {
		s.facts[i].p, _ = n.raise(s.ring, s.facts[i].p)
	}
	for i := range s.unequals {
		s.unequals[i].p, _ = n.raise(s.ring, s.unequals[i].p)
	}
	// form/value is 1: a positive factor that costs nothing.
	if inv, ok := n.value.Inv(); ok {
		s.facts = append(s.facts, fact{p: s.ring.Scale(n.form, inv), strict: true, cond: isOne})
	}
	s.normed, s.equations = s.equations, nil
}

// newFacts turns the inequalities of c to read ≥.
func newFacts(c *evidence.Conjunction, r *poly.Ring) []fact {
	var facts []fact
	for k, cond := range c.Conds {
		switch cond.Rel {
		case poly.Lt, poly.Le:
			facts = append(facts, fact{p: r.Neg(cond.P), strict: cond.Rel == poly.Lt, cond: k})
		case poly.Gt, poly.Ge:
			facts = append(facts, fact{p: cond.P, strict: cond.Rel == poly.Gt, cond: k})
		}
	}
	return facts
}

// generators completes the equations, once.
func (s *system) generators() []generator {
	if s.ideal == nil {
		s.ideal = generators(s.ring, s.equations)
	}
	return s.ideal
}

// dropImplied drops the facts that the signs of the variables give, and what
// is not zero because of them.
func (s *system) dropImplied(c *evidence.Conjunction) {
	signs := s.variableSigns()
	s.unequals = slices.DeleteFunc(s.unequals, func(u unequal) bool {
		terms, sign := s.signByTerms(u.p, signs)
		return sign != 0 && anyPositive(c, terms)
	})
	kept := s.facts[:0:0]
	for _, f := range s.facts {
		if f.cond != isOne && f.p.Degree() > 0 && (f.p.Len() > 1 || f.p.Degree() > 1) {
			terms, sign := s.signByTerms(f.p, signs)
			if sign > 0 && (!f.strict || anyPositive(c, terms)) {
				continue
			}
		}
		kept = append(kept, f)
	}
	s.facts = kept
}

// dropRepeated keeps one of several facts that are positive multiples of each
// other, a strict one if there is one, and drops those that say nothing.
func (s *system) dropRepeated() {
	kept := s.facts[:0:0]
next:
	for _, f := range s.facts {
		if v, constant := f.p.IsConst(); constant && v.Sign() > 0 {
			continue
		}
		for i, g := range kept {
			if f.p.Len() != g.p.Len() || f.p.LeadCoef().Sign() != g.p.LeadCoef().Sign() {
				continue
			}
			ratio, ok := f.p.LeadCoef().Div(g.p.LeadCoef())
			if ok && s.ring.Equal(f.p, s.ring.Scale(g.p, ratio)) {
				if f.strict && !g.strict || f.strict == g.strict && len(f.by) < len(g.by) {
					kept[i] = f
				}
				continue next
			}
		}
		kept = append(kept, f)
	}
	s.facts = kept
}
