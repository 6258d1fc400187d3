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
func (s *system) gramProof(c *evidence.Conjunction, t *table, products []*product, d int, homogeneous bool, points [][]float64, e effort) (*evidence.Combination, bool) {
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

// atPoints restricts each block to squares that vanish at the tight points
// where its product is positive.
func atPoints(blocks []*block, points [][]float64) []*block {
	var out []*block
	for _, b := range blocks {
		var values [][]float64
		for _, x := range points {
			if b.of.value.positiveAt(x) {
				row := make([]float64, len(b.monomials))
				for i, m := range b.monomials {
					row[i] = monomialAt(m, x)
				}
				values = append(values, row)
			}
		}
		var vectors [][]number.Num
		for _, row := range values {
			exact := make([]number.Num, len(row))
			for i, v := range row {
				exact[i], _ = rounded(v, trialScale)
			}
			vectors = append(vectors, exact)
		}
		if r, ok := b.orthogonal(vectors); ok && r.size() > 0 {
			out = append(out, r)
		}
	}
	return out
}

// orthogonal is the block restricted to combinations of its basis that are
// orthogonal to the vectors.
func (b *block) orthogonal(vectors [][]number.Num) (*block, bool) {
	if len(vectors) == 0 {
		return b, true
	}
	null, ok := nullSpace(vectors, b.size())
	if !ok {
		return nil, false
	}
	if b.columns != nil {
		for k, w := range null {
			sum := make([]number.Num, len(b.monomials))
			for p, c := range w {
				if c.IsZero() {
					continue
				}
				for i, v := range b.columns[p] {
					sum[i] = sum[i].Add(c.Mul(v))
				}
			}
			null[k] = sum
		}
	}
	return &block{of: b.of, monomials: b.monomials, columns: null, strict: b.strict}, true
}

// nullSpace is a basis of the vectors of n numbers orthogonal to all given.
func nullSpace(vectors [][]number.Num, n int) ([][]number.Num, bool) {
	var rows [][]number.Num
	pivotOf := make([]int, n) // row whose pivot a column is, or −1
	for j := range pivotOf {
		pivotOf[j] = -1
	}
	for _, v := range vectors {
		row := append([]number.Num(nil), v...)
		for j := range n {
			if c := row[j]; !c.IsZero() && pivotOf[j] >= 0 {
				subtract(row, rows[pivotOf[j]], c)
			}
		}
		pivot := 0
		for pivot < n && row[pivot].IsZero() {
			pivot++
		}
		if pivot == n {
			continue
		}
		inv, ok := row[pivot].Inv()
		if !ok {
			return nil, false
		}
		for j := range row {
			row[j] = row[j].Mul(inv)
		}
		for i := range rows {
			if c := rows[i][pivot]; !c.IsZero() {
				subtract(rows[i], row, c)
			}
		}
		pivotOf[pivot] = len(rows)
		rows = append(rows, row)
	}
	out := [][]number.Num{}
	for f := range n {
		if pivotOf[f] >= 0 {
			continue
		}
		w := make([]number.Num, n)
		w[f] = number.Int(1)
		for j, r := range pivotOf {
			if r >= 0 {
				w[j] = rows[r][f].Neg()
			}
		}
		out = append(out, w)
	}
	return out, true
}

// subtract subtracts c·from.
func subtract(to, from []number.Num, c number.Num) {
	for j, v := range from {
		if !v.IsZero() {
			to[j] = to[j].Sub(c.Mul(v))
		}
	}
}
