package witness

import (
	"math"

	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// fast is a condition in floating point. It only rules points out, by a
// margin, before they are tested exactly.
type fast struct {
	terms []fastTerm
	rel   poly.Rel
	size  float64 // sum of the sizes of the coefficients
}

// fastTerm is a coefficient times variables, repeated for powers.
type fastTerm struct {
	c    float64
	vars []uint16
}

// compile makes the floating-point copies of the conditions.
func (s *search) compile() {
	s.at = make([]float64, s.ring.Len())
	for _, cond := range s.conds {
		f := fast{rel: cond.Rel}
		s.ring.Each(cond.P, func(exps []uint8, c number.Num) bool {
			t := fastTerm{c: toFloat(c)}
			f.size += math.Abs(t.c)
			for v, e := range exps {
				for range e {
					t.vars = append(t.vars, uint16(v))
				}
			}
			f.terms = append(f.terms, t)
			return true
		})
		s.fast = append(s.fast, f)
	}
}

// floats are numbers in floating point.
type floats []float64

func toFloats(xs []number.Num) floats {
	out := make(floats, len(xs))
	for i, x := range xs {
		out[i] = toFloat(x)
	}
	return out
}

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

// value is the condition's polynomial at x, and the sum of the sizes of its
// terms there.
func (f *fast) value(x []float64) (v, size float64) {
	for i := range f.terms {
		t := f.terms[i].c
		for _, k := range f.terms[i].vars {
			t *= x[k]
		}
		v += t
		size += math.Abs(t)
	}
	return v, size
}

// slack is the share of the size of the terms within which a value is not
// trusted to have its sign.
const slack = 1e-9

// holds reports that the condition may hold.
func (f *fast) holds(x []float64) bool {
	v, size := f.value(x)
	if math.Abs(v) <= slack*size {
		return true
	}
	if v > 0 {
		return f.rel.Holds(1)
	}
	return f.rel.Holds(-1)
}

// mayHold reports that all conditions may hold at s.at.
func (s *search) mayHold() bool {
	for i := range s.fast {
		if !s.meter.Spend(int64(len(s.fast[i].terms)/2) + 2) {
			return false
		}
		if !s.fast[i].holds(s.at) {
			return false
		}
	}
	return true
}

// possible is mayHold for an exact point.
func (s *search) possible(p evidence.Point) bool {
	for _, v := range s.free {
		s.at[v] = toFloat(p[v])
	}
	for _, e := range s.solves {
		s.at[e.v] = toFloat(p[e.v])
	}
	return s.mayHold()
}
