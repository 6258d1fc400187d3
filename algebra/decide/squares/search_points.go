package squares

import (
	"math"

	"squaremark/algebra/number"
)

// toFloat is the nearest machine number, or near it.
func toFloat(x number.Num) float64 {
	if n, d, ok := x.Fraction(); ok {
		return float64(n) / float64(d)
	}
	if x.IsRational() {
		r, _ := x.Rat()
		f, _ := r.Float64()
		return f
	}
	sum, size := 0.0, 0.0
	x.EachTerm(func(d, c number.Num) bool {
		t := toFloat(c) * math.Sqrt(toFloat(d))
		sum, size = sum+t, size+math.Abs(t)
		return true
	})
	if math.Abs(sum) > 1e-6*size {
		return sum
	}
	// The terms cancel, or one is too large for a machine number.
	lo, _ := x.Enclose(64)
	r, ok := lo.Rat()
	if !ok {
		return 0
	}
	f, _ := r.Float64()
	return f
}

// evaluator is a polynomial in floating point: coefficients, and for each the
// variables of its monomial, repeated for powers.
type evaluator struct {
	cs   []float64
	vars [][]uint8
}

func newEvaluator(terms []term) evaluator {
	e := evaluator{cs: make([]float64, len(terms)), vars: make([][]uint8, len(terms))}
	for i, t := range terms {
		e.cs[i] = toFloat(t.c)
		e.vars[i] = t.m.factors()
	}
	return e
}

// factors lists the variables of a monomial, repeated for powers.
func (a monomial) factors() []uint8 {
	var out []uint8
	for i := range maxVars {
		for range a.power(i) {
			out = append(out, uint8(i))
		}
	}
	return out
}

// at is the value at x and the sum of the sizes of the terms.
func (e evaluator) at(x []float64) (v, size float64) {
	for i, c := range e.cs {
		for _, k := range e.vars[i] {
			c *= x[k]
		}
		v += c
		size += math.Abs(c)
	}
	return v, size
}

// monomialAt is the value of the monomial at x.
func monomialAt(m monomial, x []float64) float64 {
	t := 1.0
	for i, v := range x {
		for range m.power(i) {
			t *= v
		}
	}
	return t
}

// Trial points have coordinates from these; the later ones are left out when
// there are many variables.
var trial = []float64{0, 1, 2, -1, 0.5, 3}

// maxTrials bounds the trial points.
const maxTrials = 300

// tight is a set of points at which every condition holds when > is weakened
// to ≥ and ≠ is dropped. In a refutation every term is zero there.
type tight [][]float64

// tightPoints lists the trial points that are tight. possible reports that the
// conditions hold as they are at one of them, so that nothing can be refuted.
func (s *system) tightPoints(t *table) (points tight, possible bool) {
	n := len(t.vars)
	var facts, equations, unequals []evaluator
	terms := 0
	for _, f := range s.facts {
		facts = append(facts, newEvaluator(t.terms(f.p)))
		terms += f.p.Len()
	}
	for _, f := range s.equations {
		equations = append(equations, newEvaluator(t.terms(f.p)))
	}
	for _, f := range s.unequals {
		unequals = append(unequals, newEvaluator(t.terms(f.p)))
	}
	base := len(trial)
	for base > 2 && math.Pow(float64(base), float64(n)) > maxTrials {
		base--
	}
	x := make([]float64, n)
	digits := make([]int, n)
	for range maxTrials {
		if !s.ring.Meter().Spend(int64(terms*n/4 + 5)) {
			return nil, false
		}
		for i, d := range digits {
			x[i] = trial[d]
		}
		weak, strict := s.holdAt(x, facts, equations, unequals)
		if strict {
			return nil, true
		}
		if weak {
			points = append(points, append([]float64(nil), x...))
		}
		i := 0
		for ; i < n && digits[i] == base-1; i++ {
			digits[i] = 0
		}
		if i == n {
			break
		}
		digits[i]++
	}
	return points, false
}

// tiny is the share of the size of the terms below which a value is taken
// for zero.
const tiny = 1e-9

func (s *system) holdAt(x []float64, facts, equations, unequals []evaluator) (weak, strict bool) {
	strict = true
	for _, e := range equations {
		if v, size := e.at(x); math.Abs(v) > tiny*size {
			return false, false
		}
	}
	for i, e := range facts {
		v, size := e.at(x)
		if v < -tiny*size {
			return false, false
		}
		strict = strict && (v > tiny*size || !s.facts[i].strict)
	}
	for _, e := range unequals {
		v, size := e.at(x)
		strict = strict && math.Abs(v) > tiny*size
	}
	return true, strict
}

// combines reports that l is very likely a sum of non-negative multiples of
// the others and a non-negative constant.
func (s *system) combines(l linearFact, others []linearFact) bool {
	n := len(l.cs)
	columns := make([]sparse, 0, len(others)+1)
	for _, o := range others {
		columns = append(columns, o.column())
	}
	columns = append(columns, sparse{[]int{n}, []float64{1}})
	b := make([]float64, n+1)
	l.column().addTo(b, 1)
	_, residual := nonNegativeLeastSquares(columns, b, s.ring.Meter().Spend)
	return residual < 1e-9
}

func (l linearFact) column() sparse {
	var c sparse
	for i, v := range append(append([]number.Num(nil), l.cs...), l.c0) {
		if !v.IsZero() {
			c.at, c.v = append(c.at, i), append(c.v, toFloat(v))
		}
	}
	return c
}

// positiveAt reports a value clearly above zero.
func (e evaluator) positiveAt(x []float64) bool {
	v, size := e.at(x)
	return v > tiny*size
}

// open lists the points at which p is positive, so that what it is multiplied
// by must be zero there.
func (points tight) open(p *product) tight {
	var out tight
	for _, x := range points {
		if p.value.positiveAt(x) {
			out = append(out, x)
		}
	}
	return out
}

// vanishes reports that a + sign·b is zero at all points; sign 0 leaves b out.
func (points tight) vanishes(a, b monomial, sign int) bool {
	for _, x := range points {
		v := monomialAt(a, x)
		if sign != 0 {
			v += float64(sign) * monomialAt(b, x)
		}
		if math.Abs(v) > tiny {
			return false
		}
	}
	return true
}

// values lists the exact values of the monomials at each point.
func (points tight) values(ms []monomial) [][]number.Num {
	var out [][]number.Num
	for _, x := range points {
		row := make([]number.Num, len(ms))
		for i, m := range ms {
			row[i], _ = rounded(monomialAt(m, x), trialScale)
		}
		out = append(out, row)
	}
	return out
}

// besides lists, for each variable that is not zero at the first point, its
// place in the table and its value there.
func (points tight) besides() (places []int, values []number.Num) {
	if len(points) == 0 {
		return nil, nil
	}
	for i, v := range points[0] {
		if a, ok := rounded(v, trialScale); ok && !a.IsZero() {
			places, values = append(places, i), append(values, a)
		}
	}
	return places, values
}
