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
	lo, hi := dom[t][0].Lo, dom[t][len(dom[t])-1].Hi
	positive := lo != nil && lo.Sign() >= 0
	negative := hi != nil && hi.Sign() <= 0
	q := make(uni.Uni, s.ring.DegreeIn(f, t)+1)
	ok := true
	s.ring.Each(f, func(exps []uint8, c number.Num) bool {
		m := interval{low: c, high: c}
		for u, e := range exps {
			if u != t && e > 0 {
				m = m.times(rangeOf(dom[u]).power(int(e)))
			}
		}
		a := int(exps[t])
		switch {
		case a%2 == 0 || positive:
			ok = !m.noLow
			q[a] = q[a].Add(m.low)
		case negative:
			ok = !m.noHigh
			q[a] = q[a].Add(m.high)
		default:
			ok = !m.noLow && !m.noHigh && m.low.Equal(m.high)
			q[a] = q[a].Add(m.low)
		}
		return ok
	})
	return uni.New(q...), ok
}

// interval is [low, high], either end possibly missing.
type interval struct {
	low, high     number.Num
	noLow, noHigh bool
}

func rangeOf(r onevar.Runs) interval {
	var i interval
	lo, hi := r[0].Lo, r[len(r)-1].Hi
	if i.noLow = lo == nil; !i.noLow {
		i.low = number.FromBigInt(lo)
	}
	if i.noHigh = hi == nil; !i.noHigh {
		i.high = number.FromBigInt(hi)
	}
	return i
}

func (i interval) power(e int) interval {
	p := interval{i.low.Pow(e), i.high.Pow(e), i.noLow, i.noHigh}
	if e%2 == 1 {
		return p
	}
	switch {
	case !i.noLow && i.low.Sign() >= 0:
		return p
	case !i.noHigh && i.high.Sign() <= 0:
		return interval{p.high, p.low, p.noHigh, p.noLow}
	}
	q := interval{noHigh: i.noLow || i.noHigh, high: p.high}
	if p.low.Cmp(p.high) > 0 {
		q.high = p.low
	}
	return q
}

// times multiplies ends; a missing end times 0 is 0, as all values are finite.
func (i interval) times(j interval) interval {
	out := interval{noLow: false}
	first := true
	corner := func(a number.Num, noA int, b number.Num, noB int) {
		sign := func(x number.Num, no int) int {
			if no != 0 {
				return no
			}
			return x.Sign()
		}
		if k := sign(a, noA) * sign(b, noB); noA != 0 || noB != 0 {
			switch {
			case k > 0:
				out.noHigh = true
				return
			case k < 0:
				out.noLow = true
				return
			}
			a, b = number.Num{}, number.Num{}
		}
		p := a.Mul(b)
		if first || p.Cmp(out.low) < 0 {
			out.low = p
		}
		if first || p.Cmp(out.high) > 0 {
			out.high = p
		}
		first = false
	}
	for _, a := range [2]struct {
		x  number.Num
		no bool
		s  int
	}{{i.low, i.noLow, -1}, {i.high, i.noHigh, 1}} {
		for _, b := range [2]struct {
			x  number.Num
			no bool
			s  int
		}{{j.low, j.noLow, -1}, {j.high, j.noHigh, 1}} {
			noA, noB := 0, 0
			if a.no {
				noA = a.s
			}
			if b.no {
				noB = b.s
			}
			corner(a.x, noA, b.x, noB)
		}
	}
	return out
}
