package integer

import (
	"math/big"

	"squaremark/algebra/decide/onevar"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/poly/uni"
)

// domains holds for each slot the integers that the conditions leave to it.
type domains []onevar.Runs

// maxRounds bounds how often ranges are handed from condition to condition.
const maxRounds = 8

// ranges narrows the range of each slot by each condition, with the ranges
// of the others, until nothing changes. It reports false when some range is
// empty: the conditions have no integer solution.
func (s *search) ranges(p *problem, slots []int) (domains, bool) {
	dom := make(domains, s.ring.Len())
	for i := range dom {
		dom[i] = onevar.Runs{{}}
	}
	for range maxRounds {
		changed := false
		for _, c := range p.conds {
			for _, f := range s.atMost(c) {
				for _, v := range s.ring.Vars(c.P) {
					if !s.m.Spend(costRange) {
						return dom, true
					}
					q, ok := s.project(f, v, dom)
					if !ok {
						continue
					}
					runs, ok := onevar.IntegersWhere(q, poly.Le, s.m)
					if !ok {
						return dom, true
					}
					if next := dom[v].Intersect(runs); !next.Equal(dom[v]) {
						dom[v], changed = next, true
					}
					if len(dom[v]) == 0 {
						return dom, false
					}
				}
			}
		}
		if !changed || s.allFinite(dom, slots) {
			break
		}
	}
	return dom, true
}

func (s *search) allFinite(dom domains, slots []int) bool {
	for _, v := range slots {
		if !dom[v].IsFinite() {
			return false
		}
	}
	return true
}

// atMost lists polynomials that are at most 0 where c holds.
func (s *search) atMost(c poly.Condition) []poly.Poly {
	switch c.Rel {
	case poly.Eq:
		return []poly.Poly{c.P, s.ring.Neg(c.P)}
	case poly.Ne:
		return nil
	}
	return []poly.Poly{c.P}
}

// project is a polynomial in slot t alone that is at most 0 wherever f ≤ 0
// and the other slots lie in their ranges; false when none is found. The
// others leave one by one: one whose part stands apart by its least value
// (over integers), one with a constant positive square by completing that
// square, a·u² + b·u + c ≥ c − b²/4a, as in an LDLᵀ decomposition; then all
// at once, term by term, by their ranges.
//
// Source: U. Fincke, M. Pohst, Improved methods for calculating vectors of
// short length in a lattice, Math. Comp. 44 (1985), the bounds of step 2 (from
// memory); the rest elementary.
func (s *search) project(f poly.Poly, t int, dom domains) (uni.Uni, bool) {
	for {
		if q, ok := s.ring.ToUni(f, t); ok {
			return q, true
		}
		next, found, hopeless := s.eliminate(f, t, dom)
		if hopeless || s.m.Exhausted() {
			return nil, false
		}
		if !found {
			return s.byTerms(f, t, dom)
		}
		f = next
	}
}

func (s *search) eliminate(f poly.Poly, t int, dom domains) (next poly.Poly, found, hopeless bool) {
	r := s.ring
	for _, u := range r.Vars(f) {
		if u == t {
			continue
		}
		cs := r.Coeffs(f, u)
		if len(cs) == 0 { // the meter is exhausted
			return f, false, true
		}
		part := make(uni.Uni, len(cs))
		apart := true
		for k := 1; k < len(cs) && apart; k++ {
			part[k], apart = cs[k].IsConst()
		}
		if apart {
			least, ok := s.least(part, dom[u])
			return r.Add(cs[0], r.Const(least)), ok, !ok
		}
	}
	for _, u := range r.Vars(f) {
		if u == t {
			continue
		}
		cs := r.Coeffs(f, u)
		if len(cs) != 3 {
			continue
		}
		if a, ok := cs[2].IsConst(); ok && a.Sign() > 0 {
			// 4a·c − b²
			return r.Sub(r.Scale(cs[0], a.Mul(number.Int(4))), r.Square(cs[1])), true, false
		}
	}
	return f, false, false
}

// least is the least value of g on the integers between the ends of a range;
// false when there is none.
func (s *search) least(g uni.Uni, in onevar.Runs) (number.Num, bool) {
	lo, hi := in[0].Lo, in[len(in)-1].Hi
	lead := g.Lead().Sign()
	low := lead
	if g.Degree()%2 == 1 {
		low = -lead
	}
	if hi == nil && lead < 0 || lo == nil && low < 0 {
		return number.Num{}, false
	}
	roots, err := onevar.Roots(g.Derivative(), s.m)
	if err != nil && !g.IsZero() {
		return number.Num{}, false
	}
	var best number.Num
	found := false
	try := func(k *big.Int) {
		if k == nil || lo != nil && k.Cmp(lo) < 0 || hi != nil && k.Cmp(hi) > 0 {
			return
		}
		if v := g.Eval(number.FromBigInt(k)); !found || v.Cmp(best) < 0 {
			best, found = v, true
		}
	}
	try(lo)
	try(hi)
	for _, x := range roots {
		try(x.Floor())
		try(x.Ceil())
	}
	return best, found && !s.m.Exhausted()
}

// byTerms bounds every other slot's part of each term by the ranges: for
// t ≥ 0 the term c·t^a·M is at least t^a times the least value of c·M.
func (s *search) byTerms(f poly.Poly, t int, dom domains) (uni.Uni, bool) {
	in := rangeOf(dom[t])
	q := make(uni.Uni, s.ring.DegreeIn(f, t)+1)
	ok := true
	s.ring.Each(f, func(exps []uint8, c number.Num) bool {
		m := interval{end{x: c}, end{x: c}}
		for u, e := range exps {
			if u != t && e > 0 {
				m = m.times(rangeOf(dom[u]).power(int(e)))
			}
		}
		a := int(exps[t])
		side := m.lo
		switch {
		case a%2 == 0 || in.lo.sign() >= 0:
		case in.hi.sign() <= 0:
			side = m.hi
		default:
			ok = m.lo.cmp(m.hi) == 0
		}
		ok = ok && side.far == 0
		q[a] = q[a].Add(side.x)
		return ok
	})
	return uni.New(q...), ok
}

// end is the end of an interval: x, or −∞ or ∞ for far = −1 or 1.
type end struct {
	x   number.Num
	far int
}

func (a end) sign() int {
	if a.far != 0 {
		return a.far
	}
	return a.x.Sign()
}

func (a end) cmp(b end) int {
	if a.far != 0 || b.far != 0 {
		return a.far - b.far
	}
	return a.x.Cmp(b.x)
}

// times is the product; ∞ times 0 is 0, as the values themselves are finite.
func (a end) times(b end) end {
	if a.far != 0 || b.far != 0 {
		return end{far: a.sign() * b.sign()}
	}
	return end{x: a.x.Mul(b.x)}
}

func (a end) power(e int) end {
	if a.far < 0 && e%2 == 0 {
		return end{far: 1}
	}
	if a.far != 0 {
		return a
	}
	return end{x: a.x.Pow(e)}
}

// interval is the reals from lo to hi.
type interval struct{ lo, hi end }

// rangeOf is the interval from the first to the last member of a range.
func rangeOf(r onevar.Runs) interval {
	i := interval{end{far: -1}, end{far: 1}}
	if lo := r[0].Lo; lo != nil {
		i.lo = end{x: number.FromBigInt(lo)}
	}
	if hi := r[len(r)-1].Hi; hi != nil {
		i.hi = end{x: number.FromBigInt(hi)}
	}
	return i
}

func (i interval) power(e int) interval {
	lo, hi := i.lo.power(e), i.hi.power(e)
	switch {
	case e%2 == 1 || i.lo.sign() >= 0:
		return interval{lo, hi}
	case i.hi.sign() <= 0:
		return interval{hi, lo}
	case lo.cmp(hi) > 0:
		hi = lo
	}
	return interval{end{}, hi}
}

func (i interval) times(j interval) interval {
	p := i.lo.times(j.lo)
	out := interval{p, p}
	for _, p := range [...]end{i.lo.times(j.hi), i.hi.times(j.lo), i.hi.times(j.hi)} {
		if p.cmp(out.lo) < 0 {
			out.lo = p
		}
		if p.cmp(out.hi) > 0 {
			out.hi = p
		}
	}
	return out
}
