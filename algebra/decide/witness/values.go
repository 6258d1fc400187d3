package witness

import (
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// list is the numbers to try for one variable, the most telling first, with
// the bounds that conditions on this variable alone set.
type list struct {
	lo, hi         number.Num
	hasLo, hasHi   bool
	loOpen, hiOpen bool
	whole          bool
	xs             []number.Num
	fs             floats // xs in floating point
}

// basic are the numbers tried without bounds.
var basic = [][2]int64{
	{0, 1}, {1, 1}, {-1, 1}, {2, 1}, {-2, 1}, {3, 1}, {1, 2}, {-3, 1}, {-1, 2}, {4, 1}, {-4, 1}, {3, 2}, {1, 3},
	{5, 1}, {-5, 1}, {-3, 2}, {-1, 3}, {10, 1}, {-10, 1}, {2, 3}, {1, 10}, {-2, 3}, {-1, 10}, {6, 1}, {-6, 1},
	{3, 5}, {4, 5}, {-3, 5}, {-4, 5}, {1, 4}, {-1, 4}, {3, 4}, {7, 1}, {8, 1}, {9, 1}, {100, 1}, {-100, 1},
	{1, 100}, {-1, 100}, {1, 5}, {5, 2}, {-7, 1}, {-8, 1}, {-9, 1}, {11, 1}, {12, 1}, {1000, 1}, {-1000, 1},
}

func (l *list) allows(x number.Num) bool {
	if l.whole && !x.IsInteger() {
		return false
	}
	if l.hasLo {
		if c := x.Cmp(l.lo); c < 0 || c == 0 && l.loOpen {
			return false
		}
	}
	if l.hasHi {
		if c := x.Cmp(l.hi); c > 0 || c == 0 && l.hiOpen {
			return false
		}
	}
	return true
}

// add appends x unless it is out of bounds or there already.
func (l *list) add(x number.Num) {
	if !l.allows(x) {
		return
	}
	for _, y := range l.xs {
		if y.Equal(x) {
			return
		}
	}
	l.xs = append(l.xs, x)
}

// narrow is a count of basic numbers within the bounds below which numbers
// made from the bounds are tried first.
const narrow = 12

// fill lists the numbers: basic ones within the bounds, and, where few of
// them are, numbers made from the bounds: the ends, steps inside, middles.
func (l *list) fill() {
	inside := 0
	for _, b := range basic {
		if l.allows(number.Frac(b[0], b[1])) {
			inside++
		}
	}
	if inside < narrow {
		l.fromBounds()
	}
	for _, b := range basic {
		l.add(number.Frac(b[0], b[1]))
	}
	l.fromBounds()
	if len(l.xs) == 0 && !l.whole && l.hasLo && l.hasHi {
		l.add(number.Between(l.lo, l.hi))
	}
	l.fs = toFloats(l.xs)
}

func (l *list) fromBounds() {
	if l.hasLo && l.hasHi {
		l.add(number.Between(l.lo, l.hi))
		width := l.hi.Sub(l.lo)
		for _, f := range [][2]int64{{1, 2}, {1, 3}, {2, 3}, {1, 4}, {3, 4}, {1, 10}, {9, 10}, {1, 100}, {99, 100}} {
			l.add(l.lo.Add(width.Mul(number.Frac(f[0], f[1]))))
		}
	}
	if l.hasLo {
		l.add(l.lo)
		base := number.FromBigInt(l.lo.Floor())
		for k := int64(1); k < 8; k++ {
			l.add(base.Add(number.Int(k)))
		}
		l.add(l.lo.Add(number.Frac(1, 2)))
		l.add(l.lo.Add(number.Frac(1, 100)))
	}
	if l.hasHi {
		l.add(l.hi)
		base := number.FromBigInt(l.hi.Ceil())
		for k := int64(1); k < 8; k++ {
			l.add(base.Sub(number.Int(k)))
		}
		l.add(l.hi.Sub(number.Frac(1, 2)))
		l.add(l.hi.Sub(number.Frac(1, 100)))
	}
}

// listFree finds the free variables and the numbers to try for each.
func (s *search) listFree() {
	used := make([]bool, s.ring.Len())
	for _, cond := range s.conds {
		for _, v := range s.ring.Vars(cond.P) {
			used[v] = true
		}
	}
	for _, t := range s.steps {
		for _, v := range append(s.ring.Vars(t.num), s.ring.Vars(t.den)...) {
			used[v] = true
		}
	}
	for _, t := range s.steps {
		used[t.v] = false
	}
	for _, e := range s.solves {
		used[e.v] = false
	}
	for v, u := range used {
		if !u {
			continue
		}
		l := list{whole: s.conj.IsWhole(v)}
		for _, cond := range s.conds {
			l.bound(s.ring, cond, v)
		}
		l.fill()
		s.free, s.lists = append(s.free, v), append(s.lists, l)
		if len(l.xs) == 0 {
			s.dead = true
		}
	}
}

// bound takes over a condition a·v + b Rel 0.
func (l *list) bound(r *poly.Ring, cond poly.Condition, v int) {
	if only, ok := r.OnlyVar(cond.P); !ok || only != v || cond.P.Degree() != 1 || cond.Rel == poly.Eq || cond.Rel == poly.Ne {
		return
	}
	a := cond.P.LeadCoef()
	x, ok := r.Coef(cond.P, nil).Neg().Div(a)
	if !ok {
		return
	}
	rel := cond.Rel
	if a.Sign() < 0 {
		rel = rel.Flip()
	}
	if rel == poly.Gt || rel == poly.Ge {
		if !l.hasLo || x.Cmp(l.lo) > 0 || x.Equal(l.lo) && rel.Strict() {
			l.lo, l.hasLo, l.loOpen = x, true, rel.Strict()
		}
		return
	}
	if !l.hasHi || x.Cmp(l.hi) < 0 || x.Equal(l.hi) && rel.Strict() {
		l.hi, l.hasHi, l.hiOpen = x, true, rel.Strict()
	}
}
