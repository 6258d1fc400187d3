package squares

import "math"

// nonNegativeLeastSquares finds x ≥ 0 that makes |Σ x_j·columns[j] − b| least,
// with few x_j positive, and that length. Columns may have any size.
//
// Source: C. L. Lawson, R. J. Hanson, Solving Least Squares Problems (1974),
// chapter 23 (from memory).
func nonNegativeLeastSquares(columns [][]float64, b []float64) (x []float64, residual float64) {
	n := len(columns)
	x = make([]float64, n)
	norm := make([]float64, n)
	for j, c := range columns {
		norm[j] = math.Sqrt(dot(c, c))
	}
	s := &activeSet{columns: columns, b: b, banned: make([]bool, n)}
	rest := append([]float64(nil), b...)
	for range 4 * (len(b) + 4) {
		residual = math.Sqrt(dot(rest, rest))
		if residual < 1e-12 {
			break
		}
		best, gain := -1, 1e-10
		for j, c := range columns {
			if x[j] > 0 || s.banned[j] || norm[j] == 0 {
				continue
			}
			if g := dot(c, rest) / norm[j]; g > gain {
				best, gain = j, g
			}
		}
		if best < 0 {
			break
		}
		if !s.add(best) {
			s.banned[best] = true // depends on the columns in use
			continue
		}
		s.descend(x)
		copy(rest, b)
		for _, j := range s.used {
			for i, c := range columns[j] {
				rest[i] -= x[j] * c
			}
		}
		if after := math.Sqrt(dot(rest, rest)); after < residual-1e-13 {
			clear(s.banned)
		} else {
			s.banned[best] = true
		}
		residual = math.Sqrt(dot(rest, rest))
	}
	return x, residual
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}

// activeSet is the columns in use, with the Cholesky factor of their products.
type activeSet struct {
	columns [][]float64
	b       []float64
	used    []int
	factor  [][]float64 // rows of the lower triangular factor
	banned  []bool
}

// add takes column j into use; false when it depends on those in use.
func (s *activeSet) add(j int) bool {
	c := s.columns[j]
	row := make([]float64, len(s.used)+1)
	for i, u := range s.used {
		v := dot(s.columns[u], c)
		for k := range i {
			v -= s.factor[i][k] * row[k]
		}
		row[i] = v / s.factor[i][i]
	}
	size := dot(c, c)
	d := size
	for _, v := range row[:len(s.used)] {
		d -= v * v
	}
	if d < 1e-10*size {
		return false
	}
	row[len(s.used)] = math.Sqrt(d)
	s.used, s.factor = append(s.used, j), append(s.factor, row)
	return true
}

// solve is the least-squares solution on the columns in use.
func (s *activeSet) solve() []float64 {
	n := len(s.used)
	z := make([]float64, n)
	for i, u := range s.used {
		v := dot(s.columns[u], s.b)
		for k := range i {
			v -= s.factor[i][k] * z[k]
		}
		z[i] = v / s.factor[i][i]
	}
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			z[i] -= s.factor[k][i] * z[k]
		}
		z[i] /= s.factor[i][i]
	}
	return z
}

// descend moves x to the least-squares solution, dropping columns whose
// factor would become negative on the way.
func (s *activeSet) descend(x []float64) {
	for len(s.used) > 0 {
		z := s.solve()
		step := 1.0
		for i, u := range s.used {
			if z[i] <= 0 {
				if d := x[u] - z[i]; d > 0 {
					step = min(step, x[u]/d)
				}
			}
		}
		negative := false
		for i, u := range s.used {
			negative = negative || z[i] <= 0
			x[u] += step * (z[i] - x[u])
		}
		if !negative {
			return
		}
		old := s.used
		s.used, s.factor = nil, nil
		dropped := false
		for i, u := range old {
			if x[u] <= 1e-14 || z[i] <= 0 && x[u] <= 1e-12 {
				x[u] = 0
				dropped = true
				continue
			}
			s.add(u)
		}
		if !dropped {
			// Rounding kept every column; the smallest one goes.
			least := 0
			for i, u := range s.used {
				if x[u] < x[s.used[least]] {
					least = i
				}
			}
			x[s.used[least]] = 0
			kept := append(append([]int(nil), s.used[:least]...), s.used[least+1:]...)
			s.used, s.factor = nil, nil
			for _, u := range kept {
				s.add(u)
			}
		}
	}
}
