package integer

import (
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// split takes an equation with a repeated factor or several factors apart.
func (s *search) split(p *problem) (done, settled bool) {
	for i, c := range p.conds {
		if c.Rel != poly.Eq || c.P.Degree() < 2 {
			continue
		}
		factors := s.ring.SquareFree(c.P)
		if len(factors) == 0 || len(factors) == 1 && factors[0].Mult == 1 {
			continue
		}
		for _, f := range factors {
			if !s.solve(p.replaced(i, poly.Condition{P: f.Base, Rel: poly.Eq})) {
				return true, false
			}
		}
		return true, true
	}
	return false, false
}

// orthants splits by the sign of a slot that may have either, where a product
// of slots occurs: signs often bound products.
func (s *search) orthants(p *problem, slots []int, dom domains) (done, settled bool) {
	if len(slots) > 4 || !s.hasProduct(p) {
		return false, false
	}
	r := s.ring
	for _, v := range slots {
		if i := rangeOf(dom[v]); i.lo.sign() >= 0 || i.hi.sign() <= 0 {
			continue
		}
		x := r.Var(v)
		for _, part := range []poly.Condition{
			{P: x, Rel: poly.Eq},
			{P: r.Sub(r.Int(1), x), Rel: poly.Le},
			{P: r.Add(x, r.Int(1)), Rel: poly.Le},
		} {
			if !s.solve(p.and(part)) {
				return true, false
			}
		}
		return true, true
	}
	return false, false
}

func (s *search) hasProduct(p *problem) bool {
	for _, c := range p.conds {
		found := false
		s.ring.Each(c.P, func(exps []uint8, _ number.Num) bool {
			n := 0
			for _, e := range exps {
				if e > 0 {
					n++
				}
			}
			found = n > 1
			return !found
		})
		if found {
			return true
		}
	}
	return false
}
