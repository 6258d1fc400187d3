package squares

import (
	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// block is a term of · σ with σ a sum of squares of combinations of the basis
// columns: σ = Σ X[p][q]·basis_p·basis_q with X positive semidefinite. Basis
// element p is Σ columns[p][i]·monomials[i]; nil columns are the monomials.
type block struct {
	of        *product
	monomials []monomial
	columns   [][]number.Num
	entries   [][][]entry // entries[p][q-p], q ≥ p, of of·basis_p·basis_q
	strict    bool        // σ is a number, and of is strict
}

func (b *block) size() int {
	if b.columns != nil {
		return len(b.columns)
	}
	return len(b.monomials)
}

// root is the polynomial Σ c[p]·basis_p.
func (b *block) root(t *table, c []number.Num) poly.Poly {
	var parts []poly.Poly
	for p, v := range c {
		if v.IsZero() {
			continue
		}
		if b.columns == nil {
			parts = append(parts, t.poly(b.monomials[p], v))
			continue
		}
		for i, w := range b.columns[p] {
			parts = append(parts, t.poly(b.monomials[i], v.Mul(w)))
		}
	}
	return t.ring.Sum(parts...)
}

// fill works out the entries.
func (b *block) fill(t *table) {
	n := b.size()
	b.entries = make([][][]entry, n)
	for p := range n {
		b.entries[p] = make([][]entry, n-p)
		for q := p; q < n; q++ {
			if b.columns == nil {
				b.entries[p][q-p] = b.of.times(t, b.monomials[p].times(b.monomials[q]))
				continue
			}
			var es []entry
			for i, v := range b.columns[p] {
				for j, w := range b.columns[q] {
					c := v.Mul(w)
					if c.IsZero() {
						continue
					}
					for _, e := range b.of.times(t, b.monomials[i].times(b.monomials[j])) {
						es = append(es, entry{e.row, e.c.Mul(c)})
					}
				}
			}
			b.entries[p][q-p] = collect(es)
		}
	}
	t.ring.Meter().Spend(int64(n * n * (1 + len(b.of.terms))))
}

// Bounds on the search for Gram matrices.
const (
	maxBlock     = 36  // size of one block
	maxSize      = 48  // of all blocks
	maxRows      = 260 // monomials
	maxPrepared  = 90  // sizes before monomials are ruled out
	maxFaces     = 4   // rounds of restriction to a face
	maxGramFacts = 2   // facts in a product with a square of more than a number
)

// gramProof looks for sums of squares σ with Σ σ·product = 0 and a strict
// term, by semidefinite programming over Gram matrices (M. D. Choi, T. Y. Lam,
// B. Reznick, Sums of squares of real polynomials, 1995; from memory).
// Monomials that the Newton polytope rules out are left out, and the matrices
// are restricted to the face on which they vanish at every tight point; where
// the numerical solution still has no room, to the face that its kernel shows
// (F. Permenter, P. Parrilo, Partial facial reduction, 2014; from memory).
func (s *system) gramProof(c *evidence.Conjunction, t *table, products []*product, d int, homogeneous bool, points tight, e effort) (*evidence.Combination, bool) {
	blocks := s.blocks(t, products, d, homogeneous)
	blocks = s.cornersOff(t, blocks)
	blocks = atPoints(blocks, points)
	for face := range maxFaces {
		size, some := 0, false
		for _, b := range blocks {
			b.fill(t)
			size += b.size()
			some = some || b.strict
		}
		if !some || size > maxSize || s.ring.Meter().Exhausted() {
			return nil, false
		}
		g, rows := newProgram(blocks)
		if len(rows) > maxRows {
			return nil, false
		}
		in := newInterior(g)
		if cost := in.cost(); face == 0 && (cost < e.from || cost >= e.to) {
			return nil, false
		}
		x, result := in.solve(s.ring.Meter().Spend)
		switch result {
		case none:
			return nil, false
		case inner:
			return s.round(c, t, blocks, x)
		}
		var ok bool
		if blocks, ok = onFaces(blocks, x); !ok {
			return nil, false
		}
	}
	return nil, false
}

// blocks lists, for each product, a strict number where it is strict, and a
// sum of squares of monomials that fit the degree.
func (s *system) blocks(t *table, products []*product, d int, homogeneous bool) []*block {
	var out []*block
	size := 0
	for _, p := range products {
		ms := halves(t, p.p.Degree(), d, homogeneous, maxBlock)
		if len(ms) == 0 {
			continue
		}
		if p.strict && ms[len(ms)-1] == (monomial{}) {
			out = append(out, &block{of: p, monomials: []monomial{{}}, strict: true})
			size++
		}
		many := len(ms) > 1 && len(p.facts) <= maxGramFacts
		if !many {
			ms = []monomial{{}}
			if p.strict || homogeneous && p.p.Degree() != d {
				continue
			}
		}
		if size+len(ms) > maxPrepared {
			continue
		}
		size += len(ms)
		out = append(out, &block{of: p, monomials: ms})
	}
	return out
}

// cornersOff leaves out monomials whose square alone, with one sign, reaches
// some monomial of the sum: their factor is zero. It repeats until none is
// left.
func (s *system) cornersOff(t *table, blocks []*block) []*block {
	alive := make([][]bool, len(blocks))
	for k, b := range blocks {
		alive[k] = make([]bool, len(b.monomials))
		for i := range alive[k] {
			alive[k][i] = true
		}
	}
	const up, down, both = 1, 2, 3
	for changed := true; changed && !s.ring.Meter().Exhausted(); {
		changed = false
		signs := make([]uint8, 0, len(t.rows))
		mark := func(row int, sign uint8) {
			for len(signs) <= row {
				signs = append(signs, 0)
			}
			signs[row] |= sign
		}
		work := 0
		for k, b := range blocks {
			for i, m := range b.monomials {
				for j := 0; j <= i && alive[k][i]; j++ {
					if !alive[k][j] {
						continue
					}
					for _, e := range b.of.times(t, m.times(b.monomials[j])) {
						work++
						switch {
						case i != j:
							mark(e.row, both)
						case e.c.Sign() > 0:
							mark(e.row, up)
						default:
							mark(e.row, down)
						}
					}
				}
			}
		}
		for k, b := range blocks {
			for i, m := range b.monomials {
				if !alive[k][i] {
					continue
				}
				for _, e := range b.of.times(t, m.times(m)) {
					if signs[e.row] != both {
						alive[k][i] = false
						changed = true
						break
					}
				}
			}
		}
		s.ring.Meter().Spend(int64(work * 3))
	}
	var out []*block
	for k, b := range blocks {
		var ms []monomial
		for i, m := range b.monomials {
			if alive[k][i] {
				ms = append(ms, m)
			}
		}
		if len(ms) > 0 {
			out = append(out, &block{of: b.of, monomials: ms, strict: b.strict})
		}
	}
	return out
}
