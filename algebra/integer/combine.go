package integer

import (
	"squaremark/algebra/decide/onevar"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/poly/uni"
)

// maxCombined bounds the polynomials that combined works with at a time.
const maxCombined = 60

// combined narrows ranges by pairs of conditions: x² ≤ y and y ≤ x + 2 give
// x² ≤ x + 2. For each slot the others are eliminated one by one from all
// conditions together.
//
// Source: Fourier's elimination for inequalities, here with polynomials for
// the parts without the eliminated slot. Cost: the square of the number of
// conditions for each eliminated slot, at most maxCombined polynomials.
func (s *search) combined(p *problem, slots []int, dom domains) (domains, bool) {
	var all []poly.Poly
	for _, c := range p.conds {
		all = append(all, s.atMost(c)...)
	}
	for _, t := range slots {
		list := all
		for _, u := range slots {
			if u != t && len(list) <= maxCombined {
				list = s.eliminateAll(list, u, dom)
			}
		}
		for _, f := range list {
			q, ok := s.ring.ToUni(f, t)
			if !ok {
				continue
			}
			runs, ok := onevar.IntegersWhere(q, poly.Le, s.m)
			if !ok {
				return dom, true
			}
			if dom[t] = dom[t].Intersect(runs); len(dom[t]) == 0 {
				return dom, false
			}
		}
	}
	return dom, true
}

// eliminateAll is a list of polynomials without slot u that are at most 0
// where those of list are.
func (s *search) eliminateAll(list []poly.Poly, u int, dom domains) []poly.Poly {
	r := s.ring
	type bound struct {
		a    number.Num // a·u + rest ≤ 0
		rest poly.Poly
	}
	var out []poly.Poly
	var upper, lower []bound
	for _, f := range list {
		cs := r.Coeffs(f, u)
		if len(cs) < 2 {
			out = append(out, f)
			continue
		}
		if a, ok := cs[1].IsConst(); ok && len(cs) == 2 {
			if a.Sign() > 0 {
				upper = append(upper, bound{a, cs[0]})
			} else {
				lower = append(lower, bound{a.Neg(), cs[0]})
			}
		}
		if g, ok := s.drop(f, cs, u, dom); ok {
			out = append(out, g)
		}
	}
	for _, l := range lower { // u ≥ rest/a
		for _, h := range upper {
			out = append(out, r.Add(r.Scale(l.rest, h.a), r.Scale(h.rest, l.a)))
		}
		for _, f := range list {
			if g, ok := s.raised(f, u, l.a, l.rest, dom); ok {
				out = append(out, g)
			}
		}
	}
	return out
}

// drop bounds f from below without u, by the range of u or by a square.
func (s *search) drop(f poly.Poly, cs []poly.Poly, u int, dom domains) (poly.Poly, bool) {
	part := make(uni.Uni, len(cs))
	for k := 1; k < len(cs); k++ {
		c, ok := cs[k].IsConst()
		if !ok {
			a, constant := cs[len(cs)-1].IsConst()
			if len(cs) != 3 || !constant || a.Sign() <= 0 {
				return f, false
			}
			return s.ring.Sub(s.ring.Scale(cs[0], a.Mul(number.Int(4))), s.ring.Square(cs[1])), true
		}
		part[k] = c
	}
	least, ok := s.least(part, dom[u])
	return s.ring.Add(cs[0], s.ring.Const(least)), ok
}

// raised puts the bound u ≥ rest/a ≥ 0 into a polynomial of degree 2 or more
// in u whose coefficients at u are constants ≥ 0, which can only make it
// smaller.
func (s *search) raised(f poly.Poly, u int, a number.Num, rest poly.Poly, dom domains) (poly.Poly, bool) {
	cs := s.ring.Coeffs(f, u)
	if len(cs) < 3 || len(cs) > 5 {
		return f, false
	}
	for _, c := range cs[1:] {
		if k, ok := c.IsConst(); !ok || k.Sign() < 0 {
			return f, false
		}
	}
	if low, ok := s.lowest(rest, dom); !ok || low.Sign() < 0 {
		return f, false
	}
	g, _ := s.ring.SubstFrac(f, u, rest, s.ring.Const(a))
	return g, true
}

// lowest bounds f from below by a number.
func (s *search) lowest(f poly.Poly, dom domains) (number.Num, bool) {
	for {
		if v, ok := f.IsConst(); ok {
			return v, true
		}
		next, found, hopeless := s.eliminate(f, -1, dom)
		if !found || hopeless {
			return number.Num{}, false
		}
		f = next
	}
}
