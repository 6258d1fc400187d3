package squares

import "math"

// sparse is a column of numbers, zero but at the places at.
type sparse struct {
	at []int
	v  []float64
}

func (c sparse) dot(dense []float64) float64 {
	sum := 0.0
	for i, k := range c.at {
		sum += c.v[i] * dense[k]
	}
	return sum
}

// addTo adds f times the column to a dense one.
func (c sparse) addTo(dense []float64, f float64) {
	for i, k := range c.at {
		dense[k] += f * c.v[i]
	}
}

// nonNegativeLeastSquares finds x ≥ 0 that makes |Σ x_j·columns[j] − b| least,
// with few x_j positive, and that length. It gives up when spend says so.
//
// Source: C. L. Lawson, R. J. Hanson, Solving Least Squares Problems (1974),
// chapter 23 (from memory).
func nonNegativeLeastSquares(columns []sparse, b []float64, spend func(int64) bool) (x []float64, residual float64) {
	x = make([]float64, len(columns))
	norm := make([]float64, len(columns))
	filled := 0
	for j, c := range columns {
		for _, v := range c.v {
			norm[j] += v * v
		}
		norm[j] = math.Sqrt(norm[j])
		filled += len(c.at)
	}
	s := &activeSet{columns: columns, b: b, scratch: make([]float64, len(b))}
	banned := make([]bool, len(columns))
	rest := append([]float64(nil), b...)
	residual = math.Sqrt(dot(rest, rest))
	for range 4 * (len(b) + 4) {
		if residual < 1e-12 || !spend(int64(filled/8+len(s.used)*len(s.used)/4+10)) {
			break
		}
		best, gain := -1, 1e-10
		for j, c := range columns {
			if x[j] > 0 || banned[j] || norm[j] == 0 {
				continue
			}
			if g := c.dot(rest) / norm[j]; g > gain {
				best, gain = j, g
			}
		}
		if best < 0 {
			break
		}
		if !s.add(best) {
			banned[best] = true // depends on the columns in use
			continue
		}
		s.descend(x)
		copy(rest, b)
		for _, j := range s.used {
			columns[j].addTo(rest, -x[j])
		}
		after := math.Sqrt(dot(rest, rest))
		if after < residual-1e-13 {
			clear(banned)
		} else {
			banned[best] = true
		}
		residual = after
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
	columns []sparse
	b       []float64
	used    []int
	factor  [][]float64 // rows of the lower triangular factor
	scratch []float64
}

// add takes column j into use; false when it depends on those in use.
func (s *activeSet) add(j int) bool {
	clear(s.scratch)
	s.columns[j].addTo(s.scratch, 1)
	row := make([]float64, len(s.used)+1)
	size := s.columns[j].dot(s.scratch)
	d := size
	for i, u := range s.used {
		v := s.columns[u].dot(s.scratch) - dot(s.factor[i][:i], row)
		row[i] = v / s.factor[i][i]
		d -= row[i] * row[i]
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
		z[i] = (s.columns[u].dot(s.b) - dot(s.factor[i][:i], z)) / s.factor[i][i]
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
			if d := x[u] - z[i]; z[i] <= 0 && d > 0 {
				step = min(step, x[u]/d)
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
		s.drop(x, z)
	}
}

// drop takes columns with factor zero out of use, at least one.
func (s *activeSet) drop(x, z []float64) {
	least := 0
	for i, u := range s.used {
		if x[u] < x[s.used[least]] {
			least = i
		}
	}
	old := s.used
	s.used, s.factor = nil, nil
	for i, u := range old {
		if i == least || x[u] <= 1e-14 || z[i] <= 0 && x[u] <= 1e-12 {
			x[u] = 0
			continue
		}
		s.add(u)
	}
}
