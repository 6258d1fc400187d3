package integer

import (
	"math/big"

	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// cornerReach bounds the threshold that corner looks for.
const cornerReach = 48

// corner bounds a slot in a region with one end in every slot: moved to a
// corner of the region, a polynomial whose coefficients all have one sign is
// not 0 there. The slot is at most the last threshold at which that is not
// seen. Where no slot works by itself, each in turn is taken to be the least:
// in 1/x + 1/y + 1/z = 1 the least unknown is at most 3. Elementary.
func (s *search) corner(p *problem, slots []int, dom domains) (done, settled bool) {
	for i, c := range p.conds {
		if c.Rel != poly.Eq && c.Rel != poly.Le {
			continue
		}
		vars := s.ring.Vars(c.P)
		if len(vars) < 2 || len(vars) > 4 {
			continue
		}
		base, ok := s.bases(vars, dom)
		if !ok {
			continue
		}
		for _, v := range vars {
			if n, ok := s.threshold(c, v, dom, func(*big.Int) []poly.Poly { return base }); ok {
				return true, s.below(p, i, v, n, nil)
			}
		}
		if done, settled := s.leastFirst(p, i, vars, dom); done {
			return true, settled
		}
	}
	return false, false
}

// bases moves each of these slots to the end of its range: lo + v or hi − v.
func (s *search) bases(vars []int, dom domains) ([]poly.Poly, bool) {
	base := make([]poly.Poly, len(dom))
	r := s.ring
	for _, v := range vars {
		switch i := rangeOf(dom[v]); {
		case i.lo.far == 0:
			base[v] = r.Add(r.Const(i.lo.x), r.Var(v))
		case i.hi.far == 0:
			base[v] = r.Sub(r.Const(i.hi.x), r.Var(v))
		default:
			return nil, false
		}
	}
	return base, true
}

// threshold is the least n at the lower end of slot v or a little above it
// such that c fails for v ≥ n; images gives the other slots.
func (s *search) threshold(c poly.Condition, v int, dom domains, images func(n *big.Int) []poly.Poly) (*big.Int, bool) {
	lo := dom[v][0].Lo
	if lo == nil {
		return nil, false
	}
	n := lo
	for range cornerReach {
		at := append([]poly.Poly(nil), images(n)...)
		at[v] = s.ring.Add(s.ring.Const(number.FromBigInt(n)), s.ring.Var(v))
		f := s.compose(c.P, at)
		if s.m.Exhausted() {
			return nil, false
		}
		if sign, ok := s.oneSign(f); ok && !c.Rel.Holds(sign) {
			return n, true
		}
		n = new(big.Int).Add(n, one)
	}
	return nil, false
}

// oneSign reports that f has one sign, not 0, for all non-negative slots.
func (s *search) oneSign(f poly.Poly) (int, bool) {
	sign := s.ring.Coef(f, nil).Sign()
	ok := sign != 0
	s.ring.Each(f, func(_ []uint8, c number.Num) bool {
		ok = ok && c.Sign() == sign
		return ok
	})
	return sign, ok
}

// below solves p with v < n and the extra conditions.
func (s *search) below(p *problem, cond, v int, n *big.Int, extra []poly.Condition) bool {
	r := s.ring
	if s.noting(p) {
		s.note("%s bounds %s below %s where it is least or alone", s.equation(p, cond), s.slotText(p, r.Var(v)), n)
	}
	q := p.and(poly.Condition{P: r.Add(r.Sub(r.Var(v), r.Const(number.FromBigInt(n))), r.Int(1)), Rel: poly.Le})
	for _, c := range extra {
		q = q.and(c)
	}
	return s.solve(q)
}

// leastFirst takes each slot in turn to be the least of them.
func (s *search) leastFirst(p *problem, i int, vars []int, dom domains) (done, settled bool) {
	r := s.ring
	bounds := make([]*big.Int, len(vars))
	for k, v := range vars {
		images := func(n *big.Int) []poly.Poly {
			at := make([]poly.Poly, r.Len())
			for u := range at {
				at[u] = r.Var(u)
			}
			for _, u := range vars {
				at[u] = r.Sum(r.Const(number.FromBigInt(n)), r.Var(v), r.Var(u))
			}
			return at
		}
		n, ok := s.threshold(p.conds[i], v, dom, images)
		if !ok {
			return false, false
		}
		bounds[k] = n
	}
	for k, v := range vars {
		var order []poly.Condition
		for _, u := range vars {
			if u != v {
				order = append(order, poly.Condition{P: r.Sub(r.Var(v), r.Var(u)), Rel: poly.Le})
			}
		}
		if !s.below(p, i, v, bounds[k], order) {
			return true, false
		}
	}
	return true, true
}
