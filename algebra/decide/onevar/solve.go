package onevar

import (
	"squaremark/algebra/budget"
	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
	"squaremark/algebra/poly/uni"
)

// Solve is the set of real values of variable v at which f holds, for a
// formula of the scope in which no other variable occurs, except in roots
// that WithoutRoots can remove. ok is false for other formulas and when the
// scope's meter ran out.
//
// Exact; complete for polynomial formulas. Cost: root isolation of every
// condition, then one comparison for each pair of neighbouring roots.
// Source: elementary (a sign table).
func Solve(s *formula.Scope, f *formula.Formula, v int) (set Set, ok bool) {
	f, ok = WithoutRoots(s, f)
	if !ok {
		return Set{}, false
	}
	return SolvePolynomial(s.Ring, f, v)
}

// SolvePolynomial is Solve for a formula without root symbols.
func SolvePolynomial(r *poly.Ring, f *formula.Formula, v int) (Set, bool) {
	var fs []uni.Uni
	number := map[*formula.Formula]int{}
	if !collect(r, f, v, &fs, number) {
		return Set{}, false
	}
	l, err := cutAt(fs, r.Meter())
	if err != nil {
		return Set{}, false
	}
	in := make([]bool, 2*len(l.at)+1)
	for i := range in {
		in[i] = holds(f, number, func(k int) int { return l.sign(i, k) })
	}
	set := cut(l.at, in).simplified()
	return set, !r.Meter().Exhausted()
}

// SolveCondition is the set of real numbers at which f Rel 0 holds.
func SolveCondition(f uni.Uni, rel poly.Rel, m *budget.Meter) (Set, bool) {
	l, err := cutAt([]uni.Uni{f}, m)
	if err != nil {
		return Set{}, false
	}
	in := make([]bool, 2*len(l.at)+1)
	for i := range in {
		in[i] = rel.Holds(l.sign(i, 0))
	}
	set := cut(l.at, in).simplified()
	return set, !m.Exhausted()
}

// collect numbers the conditions of f and reads their polynomials, equal ones
// once.
func collect(r *poly.Ring, f *formula.Formula, v int, fs *[]uni.Uni, number map[*formula.Formula]int) bool {
	if f.Op == formula.Is {
		p, ok := r.ToUni(f.Cond.P, v)
		if !ok {
			return false
		}
		for k, q := range *fs {
			if q.Equal(p) {
				number[f] = k
				return true
			}
		}
		number[f] = len(*fs)
		*fs = append(*fs, p)
		return true
	}
	for _, k := range f.Kids {
		if !collect(r, k, v, fs, number) {
			return false
		}
	}
	return true
}

// holds evaluates a formula from the signs of its polynomials.
func holds(f *formula.Formula, number map[*formula.Formula]int, sign func(int) int) bool {
	switch f.Op {
	case formula.True:
		return true
	case formula.Is:
		return f.Cond.Rel.Holds(sign(number[f]))
	case formula.All:
		for _, k := range f.Kids {
			if !holds(k, number, sign) {
				return false
			}
		}
		return true
	case formula.Any:
		for _, k := range f.Kids {
			if holds(k, number, sign) {
				return true
			}
		}
	}
	return false
}

// simplified writes the ends with square roots where they can be.
func (s Set) simplified() Set {
	for i := range s.spans {
		s.spans[i].Lo.At = s.spans[i].Lo.At.simplified()
		s.spans[i].Hi.At = s.spans[i].Hi.At.simplified()
	}
	return s
}
