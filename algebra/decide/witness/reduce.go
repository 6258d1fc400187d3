package witness

import (
	"squaremark/algebra/budget"
	"squaremark/algebra/evidence"
	"squaremark/algebra/poly"
)

// step says that variable v is num/den.
type step struct {
	v        int
	num, den poly.Poly
}

// solve says that variable v is a root of eq, in which all other variables
// are chosen or solved before.
type solve struct {
	v  int
	eq poly.Poly
}

// Bounds beyond which a fraction is not put in for a variable.
const (
	maxDegree = 16
	maxTerms  = 400
)

// newSearch uses up the equations of c: linear ones first. Where several
// variables could be eliminated, late says to take the last.
func newSearch(c *evidence.Conjunction, m *budget.Meter, late bool) *search {
	s := &search{conj: c, ring: c.Ring.With(m), meter: m}
	s.conds = append(s.conds, c.Conds...)
	for s.substitute(late) {
	}
	s.chooseSolved(late)
	s.dropTrue()
	s.listFree()
	s.compile()
	return s
}

// substitute eliminates one variable that an equation gives as a fraction of
// the others, preferring polynomials, then few terms.
func (s *search) substitute(late bool) bool {
	best, bestCost := -1, 1<<30
	var pick step
	for k, cond := range s.conds {
		if cond.Rel != poly.Eq || cond.P.IsZero() {
			continue
		}
		for _, v := range s.ring.Vars(cond.P) {
			if s.ring.DegreeIn(cond.P, v) != 1 || s.conj.IsWhole(v) && !s.allWhole(cond.P) {
				continue
			}
			parts := s.ring.Coeffs(cond.P, v)
			if len(parts) != 2 {
				return false // the meter is exhausted
			}
			cost := 2 * parts[0].Len()
			if _, constant := parts[1].IsConst(); !constant {
				cost += 50 * parts[1].Len()
			}
			if cost < bestCost || cost == bestCost && late {
				best, bestCost = k, cost
				pick = step{v: v, num: s.ring.Neg(parts[0]), den: parts[1]}
			}
		}
	}
	if best < 0 {
		return false
	}
	next, ok := s.replaced(pick)
	if !ok {
		return false
	}
	s.conds = next
	s.steps = append(s.steps, pick)
	return true
}

// replaced is the conditions with one variable replaced, and its denominator
// not zero; false when they become too large.
func (s *search) replaced(t step) ([]poly.Condition, bool) {
	next := make([]poly.Condition, 0, len(s.conds)+1)
	for _, cond := range s.conds {
		if s.ring.DegreeIn(cond.P, t.v) < 1 {
			next = append(next, cond)
			continue
		}
		p, k := s.ring.SubstFrac(cond.P, t.v, t.num, t.den)
		if d, constant := t.den.IsConst(); k%2 == 1 && cond.Rel != poly.Eq && cond.Rel != poly.Ne {
			switch {
			case !constant:
				p = s.ring.Mul(p, t.den)
			case d.Sign() < 0:
				p = s.ring.Neg(p)
			}
		}
		if p.Degree() > maxDegree || p.Len() > maxTerms || s.meter.Exhausted() {
			return nil, false
		}
		next = append(next, poly.Condition{P: p, Rel: cond.Rel})
	}
	if _, constant := t.den.IsConst(); !constant {
		next = append(next, poly.Condition{P: t.den, Rel: poly.Ne})
	}
	return next, true
}

// allWhole reports that all variables of p range over the integers: an
// integer variable is given by others only then, as other values would
// seldom make it an integer.
func (s *search) allWhole(p poly.Poly) bool {
	for _, v := range s.ring.Vars(p) {
		if !s.conj.IsWhole(v) {
			return false
		}
	}
	return true
}

// chooseSolved gives each equation that is left a variable to be solved for:
// one of low degree that occurs in no equation solved before it.
func (s *search) chooseSolved(late bool) {
	var left []poly.Poly
	for _, cond := range s.conds {
		if cond.Rel == poly.Eq && !cond.P.IsZero() && cond.P.Degree() > 0 {
			left = append(left, cond.P)
		}
	}
	for len(left) > 0 {
		eq, v := s.lastSolved(left, late)
		if eq < 0 {
			return
		}
		s.solves = append([]solve{{v, left[eq]}}, s.solves...)
		left = append(left[:eq], left[eq+1:]...)
	}
}

// lastSolved is an equation of the list and a variable that no other one
// contains, preferring low degree and variables over the reals.
func (s *search) lastSolved(eqs []poly.Poly, late bool) (eq, variable int) {
	eq, variable = -1, -1
	best := 1 << 30
	for k, p := range eqs {
	next:
		for _, v := range s.ring.Vars(p) {
			for j, q := range eqs {
				if j != k && s.ring.DegreeIn(q, v) > 0 {
					continue next
				}
			}
			cost := s.ring.DegreeIn(p, v)
			if s.conj.IsWhole(v) {
				cost += 100
			}
			if cost < best || cost == best && late {
				eq, variable, best = k, v, cost
			}
		}
	}
	return eq, variable
}

// dropTrue removes conditions without variables.
func (s *search) dropTrue() {
	kept := s.conds[:0:0]
	for _, cond := range s.conds {
		if v, constant := cond.P.IsConst(); constant {
			s.dead = s.dead || !cond.Rel.Holds(v.Sign())
			continue
		}
		kept = append(kept, cond)
	}
	s.conds = kept
}
