package squares

import (
	"slices"

	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// maxVars bounds the variables of a proof by squares.
const maxVars = 16

// monomial packs the powers of up to maxVars variables, one byte each.
type monomial [2]uint64

func (a monomial) times(b monomial) monomial { return monomial{a[0] + b[0], a[1] + b[1]} }

func (a monomial) power(i int) int { return int(a[i/8] >> (8 * (i % 8)) & 255) }

func (a monomial) raise(i, k int) monomial {
	a[i/8] += uint64(k) << (8 * (i % 8))
	return a
}

func (a monomial) degree() int {
	d := 0
	for _, w := range a {
		for ; w > 0; w >>= 8 {
			d += int(w & 255)
		}
	}
	return d
}

// entry is a coefficient in a row; rows stand for monomials.
type entry struct {
	row int
	c   number.Num
}

// term is a coefficient with its monomial.
type term struct {
	m monomial
	c number.Num
}

// table gives monomials their rows, and reduces them by the equations.
type table struct {
	ring    *poly.Ring
	vars    []int // the ring's variables that occur
	basis   []poly.Poly
	rows    map[monomial]int
	reduced map[monomial][]entry
}

// newTable fails when too many variables occur.
func newTable(s *system) (*table, bool) {
	t := &table{ring: s.ring, rows: map[monomial]int{}, reduced: map[monomial][]entry{}}
	used := make([]bool, s.ring.Len())
	mark := func(p poly.Poly) {
		for _, v := range s.ring.Vars(p) {
			used[v] = true
		}
	}
	for _, f := range s.facts {
		mark(f.p)
	}
	for _, f := range s.unequals {
		mark(f.p)
	}
	for _, f := range s.equations {
		mark(f.p)
	}
	t.basis = polys(s.generators())
	for v, u := range used {
		if u {
			t.vars = append(t.vars, v)
		}
	}
	return t, len(t.vars) <= maxVars
}

// terms lists the terms of p.
func (t *table) terms(p poly.Poly) []term {
	out := make([]term, 0, p.Len())
	t.ring.Each(p, func(exps []uint8, c number.Num) bool {
		var m monomial
		for i, v := range t.vars {
			m = m.raise(i, int(exps[v]))
		}
		out = append(out, term{m, c})
		return true
	})
	return out
}

// poly is c·m in the ring.
func (t *table) poly(m monomial, c number.Num) poly.Poly {
	exps := make([]int, t.ring.Len())
	for i, v := range t.vars {
		exps[v] = m.power(i)
	}
	return t.ring.Monomial(c, exps)
}

func (t *table) row(m monomial) int {
	k, ok := t.rows[m]
	if !ok {
		k = len(t.rows)
		t.rows[m] = k
	}
	return k
}

// normal is the monomial reduced by the equations, as entries.
func (t *table) normal(m monomial) []entry {
	if es, ok := t.reduced[m]; ok {
		return es
	}
	_, rest := t.ring.Reduce(t.poly(m, number.Int(1)), t.basis)
	var es []entry
	for _, u := range t.terms(rest) {
		es = append(es, entry{t.row(u.m), u.c})
	}
	t.reduced[m] = es
	return es
}

// times is the entries of Σ terms · m, reduced.
func (t *table) times(terms []term, m monomial) []entry {
	es := make([]entry, 0, len(terms))
	if len(t.basis) == 0 {
		for _, u := range terms {
			es = append(es, entry{t.row(u.m.times(m)), u.c})
		}
		return es
	}
	for _, u := range terms {
		for _, e := range t.normal(u.m.times(m)) {
			es = append(es, entry{e.row, e.c.Mul(u.c)})
		}
	}
	return collect(es)
}

// collect adds up entries of one row and drops zeros.
func collect(es []entry) []entry {
	slices.SortFunc(es, func(a, b entry) int { return a.row - b.row })
	out := es[:0]
	for _, e := range es {
		if n := len(out); n > 0 && out[n-1].row == e.row {
			out[n-1].c = out[n-1].c.Add(e.c)
			if out[n-1].c.IsZero() {
				out = out[:n-1]
			}
			continue
		}
		if !e.c.IsZero() {
			out = append(out, e)
		}
	}
	return out
}

// monomialsOf lists the monomials of n variables of degree at most d, or of
// degree exactly d; nil when there would be more than limit.
func monomialsOf(n, d int, exactly bool, limit int) []monomial {
	var out []monomial
	var build func(i, left int, m monomial) bool
	build = func(i, left int, m monomial) bool {
		if i == n {
			if left == 0 || !exactly {
				out = append(out, m)
			}
			return len(out) <= limit
		}
		low := 0
		if exactly && i == n-1 {
			low = left
		}
		for k := left; k >= low; k-- {
			if !build(i+1, left-k, m.raise(i, k)) {
				return false
			}
		}
		return true
	}
	if !build(0, d, monomial{}) {
		return nil
	}
	return out
}
