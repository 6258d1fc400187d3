package squares

import (
	"slices"

	"squaremark/algebra/decide/quadratic"
	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
)

// round makes a numerical solution exact: entries are rounded, some of them
// are worked out anew from the others so that the rows hold exactly, and the
// blocks are completed to squares. Coarse roundings first.
//
// Source: H. Peyrl, P. A. Parrilo, Computing sum of squares decompositions
// with rational coefficients, Theor. Comput. Sci. 409 (2008) (from memory).
func (s *system) round(c *evidence.Conjunction, t *table, blocks []*block, x []square) (*evidence.Combination, bool) {
	e, ok := newExact(blocks, s.ring.Meter().Spend)
	if !ok {
		return nil, false
	}
	for _, d := range precisions {
		if s.ring.Meter().Exhausted() {
			return nil, false
		}
		values, ok := e.values(x, d)
		if !ok {
			continue
		}
		if parts, ok := s.parts(t, blocks, e, values); ok {
			return s.combination(parts, c)
		}
	}
	return nil, false
}

// parts completes the squares of every block.
func (s *system) parts(t *table, blocks []*block, e *exact, values []number.Num) ([]part, bool) {
	var out []part
	for k, b := range blocks {
		n := b.size()
		a := make([][]number.Num, n)
		for p := range a {
			a[p] = make([]number.Num, n)
			for q := p; q < n; q++ {
				a[p][q] = values[e.start[k]+upper(n, p, q)]
			}
		}
		coefs, rows, ok := quadratic.Complete(a, s.ring.Meter())
		if !ok {
			return nil, false
		}
		for i, c := range coefs {
			out = append(out, part{c, b.root(t, rows[i]), b.of})
		}
	}
	return out, true
}

// upper numbers the entries p ≤ q of an n×n matrix.
func upper(n, p, q int) int { return p*n - p*(p-1)/2 + q - p }

// exact is the linear system of the rows in the upper entries of all blocks,
// each row solved for one entry.
type exact struct {
	start []int // first unknown of each block
	spots []spot
	rows  []map[int]number.Num
	right []number.Num
	solve []int // the unknown each row is solved for, or −1 for an empty row
}

func newExact(blocks []*block, spend func(int64) bool) (*exact, bool) {
	e := &exact{}
	at := map[int]int{}
	strict := map[int]number.Num{}
	for k, b := range blocks {
		e.start = append(e.start, len(e.spots))
		if b.strict {
			strict[len(e.spots)] = number.Int(1)
		}
		for p := range b.entries {
			for i, es := range b.entries[p] {
				for _, u := range es {
					r, ok := at[u.row]
					if !ok {
						r = len(e.rows)
						at[u.row] = r
						e.rows, e.right = append(e.rows, map[int]number.Num{}), append(e.right, number.Num{})
					}
					c := u.c
					if i > 0 {
						c = c.Add(c)
					}
					e.rows[r][len(e.spots)] = c
				}
				e.spots = append(e.spots, spot{k: k, p: p, q: p + i})
			}
		}
	}
	e.rows, e.right = append(e.rows, strict), append(e.right, number.Int(1))
	return e, e.eliminate(spend)
}

// eliminate solves each row for an unknown that occurs in few other rows.
func (e *exact) eliminate(spend func(int64) bool) bool {
	in := make([]map[int]bool, len(e.spots)) // rows in which an unknown occurs
	for i := range in {
		in[i] = map[int]bool{}
	}
	for r, row := range e.rows {
		for v := range row {
			in[v][r] = true
		}
	}
	e.solve = make([]int, len(e.rows))
	for r, row := range e.rows {
		e.solve[r] = -1
		for _, v := range keys(row) {
			if e.solve[r] < 0 || len(in[v]) < len(in[e.solve[r]]) {
				e.solve[r] = v
			}
		}
		v := e.solve[r]
		if v < 0 {
			if !e.right[r].IsZero() {
				return false
			}
			continue
		}
		inv, ok := row[v].Inv()
		if !ok || !spend(int64(20*len(row))) {
			return false
		}
		for u, c := range row {
			row[u] = c.Mul(inv)
		}
		e.right[r] = e.right[r].Mul(inv)
		for other := range in[v] {
			if other == r {
				continue
			}
			f := e.rows[other][v]
			if !spend(int64(20 * len(row))) {
				return false
			}
			for u, c := range row {
				d := e.rows[other][u].Sub(f.Mul(c))
				if d.IsZero() {
					delete(e.rows[other], u)
					delete(in[u], other)
				} else {
					e.rows[other][u] = d
					in[u][other] = true
				}
			}
			e.right[other] = e.right[other].Sub(f.Mul(e.right[r]))
		}
	}
	return true
}

func keys(row map[int]number.Num) []int {
	ks := make([]int, 0, len(row))
	for k := range row {
		ks = append(ks, k)
	}
	slices.Sort(ks)
	return ks
}

// values rounds the free unknowns to denominator d and works out the others.
func (e *exact) values(x []square, d int64) ([]number.Num, bool) {
	out := make([]number.Num, len(e.spots))
	for i, u := range e.spots {
		m := x[u.k]
		v, ok := rounded(m.a[u.p*m.n+u.q], d)
		if !ok {
			return nil, false
		}
		out[i] = v
	}
	for r, row := range e.rows {
		v := e.solve[r]
		if v < 0 {
			continue
		}
		sum := e.right[r]
		for u, c := range row {
			if u != v {
				sum = sum.Sub(c.Mul(out[u]))
			}
		}
		out[v] = sum
	}
	return out, true
}
