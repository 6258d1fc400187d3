package witness

import (
	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly/uni"
)

// complete makes values of the free variables into a point of the question,
// if that is possible; p has the free ones set and is written over.
func (s *search) complete(p evidence.Point) evidence.Point { return s.solveFrom(p, 0) }

// solveFrom tries every root of the k-th and later equations.
func (s *search) solveFrom(p evidence.Point, k int) evidence.Point {
	if s.meter.Exhausted() {
		return nil
	}
	if k == len(s.solves) {
		return s.finish(p)
	}
	if !s.meter.Spend(costRoots) {
		return nil
	}
	for _, x := range s.roots(s.solves[k], p) {
		if s.conj.IsWhole(s.solves[k].v) && !x.IsInteger() {
			continue
		}
		p[s.solves[k].v] = x
		if q := s.solveFrom(p, k+1); q != nil {
			return q
		}
	}
	return nil
}

// finish evaluates the eliminated variables, last eliminated first, and tests
// the question's own conditions.
func (s *search) finish(p evidence.Point) evidence.Point {
	if len(s.solves) > 0 && !s.possible(p) || !s.meter.Spend(costExact) {
		return nil
	}
	for k := len(s.steps) - 1; k >= 0; k-- {
		t := s.steps[k]
		x, ok := s.ring.EvalAll(t.num, p).Div(s.ring.EvalAll(t.den, p))
		if !ok || s.conj.IsWhole(t.v) && !x.IsInteger() {
			return nil
		}
		p[t.v] = x
	}
	for _, cond := range s.conj.Conds {
		if !cond.Rel.Holds(s.ring.EvalAll(cond.P, p).Sign()) {
			return nil
		}
	}
	if s.meter.Exhausted() {
		return nil
	}
	return append(evidence.Point(nil), p...)
}

// roots lists the values of the variable that solve the equation at p, those
// that square roots express.
func (s *search) roots(e solve, p evidence.Point) []number.Num {
	parts := s.ring.Coeffs(e.eq, e.v)
	cs := make([]number.Num, len(parts))
	for i, q := range parts {
		cs[i] = s.ring.EvalAll(q, p)
	}
	f := uni.New(cs...)
	switch f.Degree() {
	case -1:
		return []number.Num{number.Int(1), {}, number.Int(2)}
	case 0:
		return nil
	case 1:
		x, ok := f[0].Neg().Div(f[1])
		if !ok {
			return nil
		}
		return []number.Num{x}
	case 2:
		if !s.payRoot(f) {
			return nil
		}
		return quadraticRoots(f)
	}
	return s.higherRoots(f)
}

// Prices in budget units: solving one equation at a point, an exact test of a
// point, drawing a point, and, each at most, the trial division by which one
// square root looks for square factors and the operations on one pair of terms
// of sums of square roots.
const (
	costRoots     = 60
	costExact     = 40
	costDraw      = 40
	costRadicand  = 4000
	costPairTerms = 300
)

// payRoot spends what quadraticRoots costs for f.
func (s *search) payRoot(f uni.Uni) bool {
	bits, terms := 0, 0
	for _, c := range f {
		bits += c.Bits()
		c.EachTerm(func(_, _ number.Num) bool { terms++; return true })
	}
	cost := min(costRadicand, 60<<min(bits/4, 10))
	if terms > len(f) {
		cost += terms * terms * costPairTerms
	}
	return s.meter.Spend(int64(cost))
}

// quadraticRoots is the formula, the larger root first.
func quadraticRoots(f uni.Uni) []number.Num {
	d, ok := f[1].Mul(f[1]).Sub(number.Int(4).Mul(f[0]).Mul(f[2])).Sqrt()
	inv, invertible := f[2].Add(f[2]).Inv()
	if !ok || !invertible {
		return nil
	}
	high, low := d.Sub(f[1]).Mul(inv), d.Neg().Sub(f[1]).Mul(inv)
	if d.IsZero() {
		return []number.Num{high}
	}
	if f[2].Sign() < 0 {
		high, low = low, high
	}
	return []number.Num{high, low}
}

func (s *search) higherRoots(f uni.Uni) []number.Num {
	isolated, err := uni.Isolate(f, s.meter)
	if err != nil {
		return nil
	}
	var xs []number.Num
	for _, r := range isolated {
		if x, ok := r.ExactValue(); ok {
			xs = append(xs, x)
		}
	}
	return xs
}
