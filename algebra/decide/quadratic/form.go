package quadratic

import (
	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// matrix is the symmetric matrix of f = (x, 1)·M·(x, 1)ᵀ for the n variables
// vars; row and column n belong to the 1. Only entries on and right of the
// diagonal are kept.
type matrix struct {
	vars []int
	vs   []poly.Poly // the variables as polynomials
	n    int
	at   [][]number.Num // at[i][j-i] is entry (i, j), j ≥ i
}

// matrixOf reads a polynomial of degree at most 2.
func matrixOf(r *poly.Ring, f poly.Poly) *matrix {
	m := &matrix{vars: r.Vars(f)}
	m.n = len(m.vars)
	m.at = make([][]number.Num, m.n+1)
	all := make([]number.Num, (m.n+1)*(m.n+2)/2)
	for i := range m.at {
		m.at[i], all = all[:m.n+1-i:m.n+1-i], all[m.n+1-i:]
	}
	for _, v := range m.vars {
		m.vs = append(m.vs, r.Var(v))
	}
	half := number.Frac(1, 2)
	r.Each(f, func(exps []uint8, c number.Num) bool {
		i, j := m.n, m.n
		for k, v := range m.vars {
			switch {
			case exps[v] == 2:
				i, j = k, k
			case exps[v] == 1 && i == m.n:
				i = k
			case exps[v] == 1:
				j = k
			}
		}
		if i != j {
			c = c.Mul(half)
		}
		m.at[i][j-i] = c
		return true
	})
	return m
}

// form is the affine form Σ row[i]·x_i + row[n].
func (m *matrix) form(r *poly.Ring, row []number.Num) poly.Poly {
	parts := make([]poly.Poly, 0, m.n+1)
	for i, c := range row {
		switch {
		case c.IsZero():
		case i == m.n:
			parts = append(parts, r.Const(c))
		default:
			parts = append(parts, r.Scale(m.vs[i], c))
		}
	}
	return r.Sum(parts...)
}

// point spreads the values of the n variables over the ring.
func (m *matrix) point(r *poly.Ring, values []number.Num) evidence.Point {
	p := make(evidence.Point, r.Len())
	for i, v := range m.vars {
		p[v] = values[i]
	}
	return p
}
