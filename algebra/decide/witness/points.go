package witness

import (
	"squaremark/algebra/decide/quadratic"
	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
)

// try tests the point whose free variables have the chosen numbers: in
// floating point first, then exactly.
func (s *search) try(choice []int) evidence.Point {
	if len(s.solves) == 0 {
		for i, v := range s.free {
			s.at[v] = s.lists[i].fs[choice[i]]
		}
		if !s.mayHold() {
			return nil
		}
	}
	p := make(evidence.Point, s.ring.Len())
	for i, v := range s.free {
		p[v] = s.lists[i].xs[choice[i]]
	}
	return s.complete(p)
}

// tryValues is try for numbers that need not be on the lists.
func (s *search) tryValues(values []number.Num) evidence.Point {
	p := make(evidence.Point, s.ring.Len())
	for i, v := range s.free {
		if !s.lists[i].allows(values[i]) {
			return nil
		}
		p[v] = values[i]
	}
	if len(s.solves) == 0 && !s.possible(p) {
		return nil
	}
	return s.complete(p)
}

// special tries points where all variables are alike, one differs from the
// rest, or they rise in order.
func (s *search) special(limit int64) evidence.Point {
	n := len(s.free)
	choice := make([]int, n)
	at := func(i, k int) int { return min(k, len(s.lists[i].xs)-1) }
	longest := 0
	for i := range s.lists {
		longest = max(longest, len(s.lists[i].xs))
	}
	for u := range min(8, longest) {
		for i := range choice {
			choice[i] = at(i, u)
		}
		if p := s.try(choice); p != nil {
			return p
		}
	}
	if n < 2 {
		return nil
	}
	for shift := range n {
		values := make([]number.Num, n)
		for i := range values {
			values[i] = number.Int(int64((i+shift)%n + 1))
		}
		if p := s.tryValues(values); p != nil {
			return p
		}
	}
	for total := 1; total < longest+8; total++ {
		for u := 0; u <= min(total, 7); u++ {
			w := total - u
			if w == u || w >= longest {
				continue
			}
			for odd := range n {
				for i := range choice {
					choice[i] = at(i, u)
				}
				choice[odd] = at(odd, w)
				if p := s.try(choice); p != nil || s.meter.Left() <= limit {
					return p
				}
			}
		}
	}
	return nil
}

// vertices tries the points where a condition of degree two has its least or
// greatest value, and points beside them.
func (s *search) vertices(limit int64) evidence.Point {
	if len(s.free) > 16 {
		return nil
	}
	for _, cond := range s.conds {
		if cond.P.Degree() != 2 {
			continue
		}
		for _, sign := range []int64{1, -1} {
			l, ok := quadratic.LeastValue(s.ring, s.ring.Scale(cond.P, number.Int(sign)))
			if !ok || s.meter.Left() <= limit {
				return nil
			}
			shifts := append([]evidence.Point{nil}, l.Directions...)
			if !l.Bounded {
				shifts = append(shifts, l.Ray)
			}
			for _, d := range shifts {
				if p := s.alongLine(l.At, d); p != nil {
					return p
				}
			}
		}
	}
	return nil
}

// alongLine tries a few points a + t·d; d may be nil.
func (s *search) alongLine(a, d evidence.Point) evidence.Point {
	for _, t := range []int64{0, 1, -1, 2, -2, 5, -5, 100} {
		values := make([]number.Num, len(s.free))
		for i, v := range s.free {
			values[i] = a[v]
			if d != nil {
				values[i] = values[i].Add(number.Int(t).Mul(d[v]))
			}
		}
		if p := s.tryValues(values); p != nil || d == nil {
			return p
		}
	}
	return nil
}

// grid tries all combinations of the first numbers of the lists, those that
// only use the foremost numbers first.
func (s *search) grid(limit int64) evidence.Point {
	n := len(s.free)
	if n == 0 {
		return s.complete(make(evidence.Point, s.ring.Len()))
	}
	longest := 0
	for i := range s.lists {
		longest = max(longest, len(s.lists[i].xs))
	}
	choice := make([]int, n)
	var found evidence.Point
	// fill chooses for variable i on, the greatest place used being top.
	var fill func(i, top int, reached bool) bool
	fill = func(i, top int, reached bool) bool {
		if i == n {
			found = s.try(choice)
			return found != nil || s.meter.Left() <= limit
		}
		first := 0
		if i == n-1 && !reached {
			first = top
		}
		for k := first; k <= top && k < len(s.lists[i].xs); k++ {
			choice[i] = k
			if fill(i+1, top, reached || k == top) {
				return true
			}
		}
		return false
	}
	for top := range longest {
		if fill(0, top, false) {
			break
		}
	}
	return found
}

// generator is a fixed sequence of numbers that look random (G. L. Steele,
// D. Lea, C. H. Flood, Fast splittable pseudorandom number generators, 2014:
// from memory).
type generator uint64

func (g *generator) below(n int) int {
	*g += 0x9e3779b97f4a7c15
	z := uint64(*g)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return int((z ^ z>>31) >> 33 % uint64(n))
}

// draw is a number for variable i: from its list, or a small fraction, or one
// beside a bound.
func (s *search) draw(g *generator, i int) number.Num {
	l := &s.lists[i]
	if g.below(3) > 0 {
		return l.xs[g.below(len(l.xs))]
	}
	d := int64(1)
	if !l.whole {
		d = int64(1 + g.below(12))
	}
	x := number.Frac(int64(g.below(61)-30), d)
	switch {
	case l.allows(x):
		return x
	case l.hasLo && l.hasHi:
		x = l.lo.Add(l.hi.Sub(l.lo).Mul(number.Frac(int64(g.below(31)), 30)))
	case l.hasLo:
		x = l.lo.Add(x.Abs())
	default:
		x = l.hi.Sub(x.Abs())
	}
	if l.allows(x) {
		return x
	}
	return l.xs[g.below(len(l.xs))]
}

// random tries drawn points until the limit.
func (s *search) random(limit int64) evidence.Point {
	if len(s.free) == 0 {
		return nil
	}
	g := generator(1)
	values := make([]number.Num, len(s.free))
	for s.meter.Left() > limit && s.meter.Spend(costDraw) {
		for i := range values {
			values[i] = s.draw(&g, i)
		}
		if p := s.tryValues(values); p != nil {
			return p
		}
	}
	return nil
}
