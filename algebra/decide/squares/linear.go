package squares

import (
	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// column is a candidate term with a square of one or two monomials:
// of · (a + sign·b)², or of · a² where sign is 0.
type column struct {
	of      *product
	a, b    monomial
	sign    int
	entries []entry
	strict  bool
}

func (q *column) root(t *table) poly.Poly {
	p := t.poly(q.a, number.Int(1))
	if q.sign != 0 {
		p = t.ring.Add(p, t.poly(q.b, number.Int(int64(q.sign))))
	}
	return p
}

// Bounds on the candidates of a linear proof.
const (
	maxColumns     = 3000
	maxHalves      = 21 // monomials that are squared and paired
	maxHalvesOfOne = 45 // the same without a product
)

// linearProof looks for non-negative multiples of products of facts and of
// squares of monomials and of their sums and differences that add up to zero,
// a strict one among them: a linear programme (D. Handelman, Representing
// polynomials by positive linear functions on compact convex polyhedra,
// Pacific J. Math. 132 (1988), for the products; from memory).
func (s *system) linearProof(c *evidence.Conjunction, t *table, products []*product, d int, homogeneous bool, points tight) (*evidence.Combination, bool) {
	columns := s.columns(t, products, d, homogeneous, points)
	columns = pruned(columns, len(t.rows))
	use := s.chooseColumns(columns)
	if use == nil {
		return nil, false
	}
	rows := map[int]int{}
	matrix := [][]number.Num{}
	strictRow := make([]number.Num, len(use)+1)
	strictRow[len(use)] = number.Int(1)
	for j, k := range use {
		for _, e := range columns[k].entries {
			i, ok := rows[e.row]
			if !ok {
				i = len(matrix)
				rows[e.row] = i
				matrix = append(matrix, make([]number.Num, len(use)+1))
			}
			matrix[i][j] = e.c
		}
		if columns[k].strict {
			strictRow[j] = number.Int(1)
		}
	}
	x, ok := solveExactly(append(matrix, strictRow), len(use), s.ring.Meter().Spend)
	if !ok {
		return nil, false
	}
	var parts []part
	for j, v := range x {
		if v.Sign() < 0 {
			return nil, false
		}
		if v.Sign() > 0 {
			parts = append(parts, part{v, columns[use[j]].root(t), columns[use[j]].of})
		}
	}
	return s.combination(parts, c)
}

// columns lists the candidates that vanish at every tight point.
func (s *system) columns(t *table, products []*product, d int, homogeneous bool, points tight) []column {
	var out []column
	signs := []int{-1, 1}
	if s.allSigned(t) {
		signs = signs[:1] // (a + b)² is (a − b)² and products of variables
	}
	for _, p := range products {
		limit := maxHalves
		if p.p.Degree() == 0 {
			limit = maxHalvesOfOne
		}
		ms := halves(t, p.p.Degree(), d, homogeneous, limit)
		open := points.open(p)
		for i, a := range ms {
			if len(out) > maxColumns || s.ring.Meter().Exhausted() {
				return out
			}
			if open.vanishes(a, a, 0) {
				out = append(out, column{of: p, a: a, entries: p.times(t, a.times(a)), strict: p.strict && a == monomial{}})
			}
			for _, b := range ms[:i] {
				for _, sign := range signs {
					if open.vanishes(a, b, sign) {
						out = append(out, column{of: p, a: a, b: b, sign: sign, entries: s.binomial(t, p, a, b, sign)})
					}
				}
			}
		}
		s.ring.Meter().Spend(int64(len(ms) * len(ms) * (len(open)/4 + 6 + 3*len(p.terms)) * 3))
	}
	return out
}

// allSigned reports that every variable is known to be non-negative.
func (s *system) allSigned(t *table) bool {
	signs := s.variableSigns()
	for _, v := range t.vars {
		if signs[v].sign <= 0 {
			return false
		}
	}
	return true
}

// binomial is the entries of p·(a + sign·b)².
func (s *system) binomial(t *table, p *product, a, b monomial, sign int) []entry {
	var es []entry
	es = append(es, p.times(t, a.times(a))...)
	es = append(es, p.times(t, b.times(b))...)
	twice := number.Int(int64(2 * sign))
	for _, e := range p.times(t, a.times(b)) {
		es = append(es, entry{e.row, e.c.Mul(twice)})
	}
	return collect(es)
}

// pruned drops candidates that must have factor zero because some monomial
// occurs with one sign only, until none is left.
func pruned(columns []column, rows int) []column {
	up, down := make([]int, rows), make([]int, rows)
	count := func(q *column, by int) {
		for _, e := range q.entries {
			if e.c.Sign() > 0 {
				up[e.row] += by
			} else {
				down[e.row] += by
			}
		}
	}
	for i := range columns {
		count(&columns[i], 1)
	}
	for changed := true; changed; {
		changed = false
		kept := columns[:0]
		for i := range columns {
			q := columns[i]
			alone := false
			for _, e := range q.entries {
				alone = alone || up[e.row] == 0 || down[e.row] == 0
			}
			if alone {
				count(&q, -1)
				changed = true
				continue
			}
			kept = append(kept, q)
		}
		columns = kept
	}
	return columns
}

// solveExactly solves the system [A | b] of n unknowns whose columns are
// independent; false when it has no solution.
func solveExactly(m [][]number.Num, n int, spend func(int64) bool) ([]number.Num, bool) {
	row := 0
	for k := range n {
		p := row
		for p < len(m) && m[p][k].IsZero() {
			p++
		}
		if p == len(m) || !spend(int64(20*n)) {
			return nil, false
		}
		m[row], m[p] = m[p], m[row]
		inv, ok := m[row][k].Inv()
		if !ok {
			return nil, false
		}
		for j := k; j <= n; j++ {
			m[row][j] = m[row][j].Mul(inv)
		}
		for i := range m {
			f := m[i][k]
			if i == row || f.IsZero() {
				continue
			}
			if !spend(int64(12 * (n - k))) {
				return nil, false
			}
			for j := k; j <= n; j++ {
				if !m[row][j].IsZero() {
					m[i][j] = m[i][j].Sub(f.Mul(m[row][j]))
				}
			}
		}
		row++
	}
	x := make([]number.Num, n)
	for i := range m {
		if i < n {
			x[i] = m[i][n]
		} else if !m[i][n].IsZero() {
			return nil, false
		}
	}
	return x, true
}
