package integer

import (
	"squaremark/algebra/poly"
)

// resultant takes two equations in the same two slots without a common
// factor: their resultant is an equation in one slot. Where they have a
// common factor the resultant is 0 and nothing is gained.
func (s *search) resultant(p *problem) (done, settled bool) {
	r := s.ring
	for i, c := range p.conds {
		if c.Rel != poly.Eq || len(r.Vars(c.P)) != 2 {
			continue
		}
		u, v := r.Vars(c.P)[0], r.Vars(c.P)[1]
		for _, d := range p.conds[:i] {
			if d.Rel != poly.Eq || len(r.Vars(d.P)) != 2 || r.DegreeIn(d.P, u) < 1 || r.DegreeIn(d.P, v) < 1 {
				continue
			}
			f := r.Resultant(c.P, d.P, u)
			if f.IsZero() || s.m.Exhausted() {
				continue
			}
			q := poly.Condition{P: f, Rel: poly.Eq}
			if s.noting(p) {
				s.note("%s and %s give %s", s.equation(p, i), s.conditions(&problem{conds: []poly.Condition{d}, back: p.back}), s.conditions(&problem{conds: []poly.Condition{q}, back: p.back}))
			}
			return true, s.solve(p.and(q))
		}
	}
	return false, false
}
