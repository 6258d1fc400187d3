package witness

import (
	"math"

	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// margins are the amounts, as shares of the size of a condition, by which
// inequalities are asked to hold in turn.
var margins = []float64{0.3, 0.01, 0.0001, 0.000001}

// denominators to which a float point is rounded, simplest first.
var denominators = []int64{1, 2, 3, 4, 5, 6, 8, 10, 12, 20, 30, 60, 100, 1000, 10000, 1000000}

// seeds is the number of points to start from for each margin.
const seeds = 6

// descend walks from several points towards one where all conditions hold, by
// damped Gauss–Newton steps on the sum of squared violations, and rounds what
// it reaches to small fractions.
//
// Source: K. Levenberg (1944), D. W. Marquardt (1963), from memory.
func (s *search) descend(limit int64) evidence.Point {
	vars := append([]int(nil), s.free...)
	for _, e := range s.solves {
		vars = append(vars, e.v)
	}
	if len(s.free) == 0 || len(vars) > 24 {
		return nil
	}
	g := generator(7)
	for seed := range seeds {
		for _, margin := range margins {
			for i, v := range s.free {
				k := g.below(min(len(s.lists[i].fs), 12))
				if seed == 0 {
					k = min(1, len(s.lists[i].fs)-1)
				}
				// Off the lists by a little, to leave symmetric saddles.
				s.at[v] = s.lists[i].fs[k] + 0.01*float64(g.below(100))
			}
			for _, e := range s.solves {
				s.at[e.v] = 1 + 0.01*float64(g.below(100))
			}
			s.walk(vars, margin)
			if p := s.rounded(); p != nil {
				return p
			}
			if s.meter.Left() <= limit {
				return nil
			}
		}
	}
	return nil
}

// rounded tries the point s.at with its free variables rounded.
func (s *search) rounded() evidence.Point {
	x := append([]float64(nil), s.at...)
	values := make([]number.Num, len(s.free))
	for _, d := range denominators {
		for i, v := range s.free {
			k := d
			if s.lists[i].whole {
				k = 1
			}
			scaled := math.Round(x[v] * float64(k))
			if math.IsNaN(scaled) || math.Abs(scaled) > 1e15 {
				return nil
			}
			values[i] = number.Frac(int64(scaled), k)
		}
		if p := s.tryValues(values); p != nil {
			return p
		}
	}
	return nil
}

// violation is how far condition f is from holding by the margin, and the
// factor of its gradient; both are 0 where it holds.
func (f *fast) violation(x []float64, margin float64) (r, factor float64) {
	v, _ := f.value(x)
	scale := 1 / (1e-300 + f.size)
	v *= scale
	switch f.rel {
	case poly.Eq:
		return v, scale
	case poly.Ne:
		return 0, 0
	case poly.Lt, poly.Le:
		if v > -margin {
			return v + margin, scale
		}
	default:
		if v < margin {
			return v - margin, scale
		}
	}
	return 0, 0
}

// gradient adds up the derivatives of f by the variables, times factor.
func (f *fast) gradient(x []float64, place []int, factor float64, out []float64) {
	for i := range out {
		out[i] = 0
	}
	for i := range f.terms {
		t := &f.terms[i]
		for j, v := range t.vars {
			d := t.c * factor
			for k, w := range t.vars {
				if k != j {
					d *= x[w]
				}
			}
			out[place[v]] += d
		}
	}
}

// maxWalk bounds the steps of one walk.
const maxWalk = 40

// walk moves s.at to lower violations.
func (s *search) walk(vars []int, margin float64) {
	n := len(vars)
	place := make([]int, s.ring.Len())
	for i, v := range vars {
		place[v] = i
	}
	terms := 0
	for i := range s.fast {
		terms += len(s.fast[i].terms)
	}
	total := func() float64 {
		sum := 0.0
		for i := range s.fast {
			r, _ := s.fast[i].violation(s.at, margin)
			sum += r * r
		}
		return sum
	}
	normal := make([][]float64, n)
	for i := range normal {
		normal[i] = make([]float64, n+1)
	}
	grad, old := make([]float64, n), make([]float64, n)
	damping, now := 0.01, total()
	for range maxWalk {
		if now < 1e-26 || !s.meter.Spend(int64(2*terms+n*n*n/8+n*n+20)) {
			return
		}
		for i := range normal {
			clear(normal[i])
		}
		for i := range s.fast {
			r, factor := s.fast[i].violation(s.at, margin)
			if factor == 0 {
				continue
			}
			s.fast[i].gradient(s.at, place, factor, grad)
			for a := range n {
				for b := range n {
					normal[a][b] += grad[a] * grad[b]
				}
				normal[a][n] -= grad[a] * r
			}
		}
		largest := 0.0
		for i := range normal {
			largest = max(largest, normal[i][i])
		}
		for i, v := range vars {
			old[i] = s.at[v]
			normal[i][i] += damping * (1e-12 + largest)
		}
		if !eliminate(normal) {
			return
		}
		for i, v := range vars {
			s.at[v] = old[i] + normal[i][n]
		}
		if next := total(); next < now {
			if next > 0.9999*now {
				return
			}
			now, damping = next, damping/5
			continue
		}
		for i, v := range vars {
			s.at[v] = old[i]
		}
		if damping *= 8; damping > 1e8 {
			return
		}
	}
}

// eliminate solves the positive definite system [A | b] in place; the last
// column becomes the solution.
func eliminate(a [][]float64) bool {
	n := len(a)
	for k := range n {
		p := a[k][k]
		if !(p > 1e-300) {
			return false
		}
		for i := k + 1; i < n; i++ {
			q := a[i][k] / p
			for j := k; j <= n; j++ {
				a[i][j] -= q * a[k][j]
			}
		}
	}
	for k := n - 1; k >= 0; k-- {
		for j := k + 1; j < n; j++ {
			a[k][n] -= a[k][j] * a[j][n]
		}
		a[k][n] /= a[k][k]
	}
	return true
}
