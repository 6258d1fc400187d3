package witness

import (
	"slices"

	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/poly/uni"
)

// slices fixes all free variables but one at numbers of their lists and looks
// at every place of the last one where a condition changes, and between.
func (s *search) slices(limit int64) evidence.Point {
	n := len(s.free)
	if n == 0 || len(s.solves) > 0 {
		return nil
	}
	for top := range 4 {
		for open := n - 1; open >= 0; open-- {
			choice := make([]int, n)
			for more := true; more; more = s.nextBelow(choice, open, top) {
				if !s.usesTop(choice, open, top) {
					continue
				}
				if p := s.slice(choice, open); p != nil {
					return p
				}
				if s.meter.Left() <= limit {
					return nil
				}
			}
			if n == 1 {
				return nil
			}
		}
	}
	return nil
}

// nextBelow counts up the choices of all variables but one, with digits up to
// top.
func (s *search) nextBelow(choice []int, open, top int) bool {
	for i := range choice {
		if i == open {
			continue
		}
		if choice[i] < min(top, len(s.lists[i].xs)-1) {
			choice[i]++
			return true
		}
		choice[i] = 0
	}
	return false
}

func (s *search) usesTop(choice []int, open, top int) bool {
	for i, k := range choice {
		if i != open && k == top {
			return true
		}
	}
	return len(choice) == 1
}

// slice solves the conditions for the variable in place open.
func (s *search) slice(choice []int, open int) evidence.Point {
	v := s.free[open]
	var fs []uni.Uni
	var rels []poly.Rel
	for _, cond := range s.conds {
		p := cond.P
		for i, w := range s.free {
			if i != open {
				p = s.ring.Eval(p, w, s.lists[i].xs[choice[i]])
			}
		}
		f, ok := s.ring.ToUni(p, v)
		if !ok || s.meter.Exhausted() {
			return nil
		}
		if f.Degree() < 1 {
			if !cond.Rel.Holds(f.Coef(0).Sign()) {
				return nil
			}
			continue
		}
		fs, rels = append(fs, f), append(rels, cond.Rel)
	}
	values := make([]number.Num, len(s.free))
	for i := range values {
		values[i] = s.lists[i].xs[choice[i]]
	}
candidates:
	for _, x := range s.cuts(fs, s.lists[open].whole) {
		for k, f := range fs {
			if !rels[k].Holds(f.SignAt(x)) {
				continue candidates
			}
		}
		values[open] = x
		if p := s.tryValues(values); p != nil {
			return p
		}
	}
	return nil
}

// cuts lists the roots of the polynomials as far as square roots express
// them, and a simple number in every gap between roots.
func (s *search) cuts(fs []uni.Uni, whole bool) []number.Num {
	var ends, exact []number.Num
	for _, f := range fs {
		roots, err := uni.Isolate(f, s.meter)
		if err != nil {
			return nil
		}
		for _, r := range roots {
			if !r.Exact() {
				r = uni.Refine(r, number.Frac(1, 256))
			}
			ends = append(ends, r.Lo, r.Hi)
			if x, ok := r.ExactValue(); ok {
				exact = append(exact, x)
			}
		}
	}
	slices.SortFunc(ends, number.Num.Cmp)
	ends = slices.CompactFunc(ends, number.Num.Equal)
	if len(ends) == 0 {
		return []number.Num{{}}
	}
	one := number.Int(1)
	below, above := ends[0], ends[len(ends)-1]
	xs := []number.Num{number.FromBigInt(below.Ceil()).Sub(one), number.FromBigInt(above.Floor()).Add(one)}
	for i := 1; i < len(ends); i++ {
		lo, hi := ends[i-1], ends[i]
		if whole {
			for k, x := 0, number.FromBigInt(lo.Floor()).Add(one); k < 4 && x.Cmp(hi) < 0; k, x = k+1, x.Add(one) {
				xs = append(xs, x)
			}
			continue
		}
		xs = append(xs, number.Between(lo, hi))
	}
	xs = append(xs, exact...)
	slices.SortStableFunc(xs, func(a, b number.Num) int { return a.Bits() - b.Bits() })
	return xs
}
