package squares

import "math"

// square is a dense n×n matrix, row by row.
type square struct {
	n int
	a []float64
}

func newSquare(n int) square { return square{n, make([]float64, n*n)} }

func (m square) row(i int) []float64 { return m.a[i*m.n : (i+1)*m.n] }

// cholesky writes the lower triangular factor of m to l; false when m is not
// positive definite.
func (m square) cholesky(l square) bool {
	n := m.n
	for i := range n {
		mi, li := m.row(i), l.row(i)
		for j := 0; j <= i; j++ {
			lj := l.row(j)
			v := mi[j]
			for k := range j {
				v -= li[k] * lj[k]
			}
			if i == j {
				if !(v > 0) || math.IsInf(v, 0) {
					return false
				}
				li[i] = math.Sqrt(v)
			} else {
				li[j] = v / lj[j]
			}
		}
	}
	return true
}

// solve solves l·lᵀ·x = b in place.
func (m square) solve(b []float64) {
	n := m.n
	for i := range n {
		v := b[i]
		for k, c := range m.row(i)[:i] {
			v -= c * b[k]
		}
		b[i] = v / m.a[i*n+i]
	}
	for i := n - 1; i >= 0; i-- {
		v := b[i]
		for k := i + 1; k < n; k++ {
			v -= m.a[k*n+i] * b[k]
		}
		b[i] = v / m.a[i*n+i]
	}
}

// inverse writes the inverse of l·lᵀ to out.
func (m square) inverse(out square) {
	col := make([]float64, m.n)
	for j := range m.n {
		clear(col)
		col[j] = 1
		m.solve(col)
		for i, v := range col {
			out.a[i*m.n+j] = v
		}
	}
}

// multiply writes x·y to m.
func (m square) multiply(x, y square) {
	clear(m.a)
	for i := range m.n {
		out := m.row(i)
		for k, c := range x.row(i) {
			if c == 0 {
				continue
			}
			for j, v := range y.row(k) {
				out[j] += c * v
			}
		}
	}
}

// symmetrise replaces m by (m + mᵀ)/2.
func (m square) symmetrise() {
	for i := range m.n {
		for j := range i {
			v := (m.a[i*m.n+j] + m.a[j*m.n+i]) / 2
			m.a[i*m.n+j], m.a[j*m.n+i] = v, v
		}
	}
}

// eigen lists eigenvalues and eigenvectors (rows of vectors) of a symmetric
// matrix. Source: Jacobi's rotations (Golub, Van Loan, Matrix Computations,
// section 8.5, from memory).
func (m square) eigen() (values []float64, vectors square) {
	n := m.n
	a := square{n, append([]float64(nil), m.a...)}
	vectors = newSquare(n)
	for i := range n {
		vectors.a[i*n+i] = 1
	}
	for range 30 {
		off, all := 0.0, 0.0
		for i := range n {
			for j, v := range a.row(i) {
				if all += v * v; i != j {
					off += v * v
				}
			}
		}
		if off <= 1e-28*all {
			break
		}
		for p := range n {
			for q := p + 1; q < n; q++ {
				rotate(a, vectors, p, q)
			}
		}
	}
	values = make([]float64, n)
	for i := range n {
		values[i] = a.a[i*n+i]
	}
	return values, vectors
}

func rotate(a, vectors square, p, q int) {
	n := a.n
	apq := a.a[p*n+q]
	if apq == 0 {
		return
	}
	theta := (a.a[q*n+q] - a.a[p*n+p]) / (2 * apq)
	t := 1 / (math.Abs(theta) + math.Sqrt(theta*theta+1))
	if theta < 0 {
		t = -t
	}
	c := 1 / math.Sqrt(t*t+1)
	s := t * c
	for k := range n {
		x, y := a.a[k*n+p], a.a[k*n+q]
		a.a[k*n+p], a.a[k*n+q] = c*x-s*y, s*x+c*y
	}
	for k := range n {
		x, y := a.a[p*n+k], a.a[q*n+k]
		a.a[p*n+k], a.a[q*n+k] = c*x-s*y, s*x+c*y
		x, y = vectors.a[p*n+k], vectors.a[q*n+k]
		vectors.a[p*n+k], vectors.a[q*n+k] = c*x-s*y, s*x+c*y
	}
}
