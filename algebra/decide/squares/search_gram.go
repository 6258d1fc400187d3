package squares

// newProgram is the search for Gram matrices in floating point: one row for
// each monomial, whose sum is zero, and a last one that makes the strict terms
// add up to 1. rows lists the monomials' rows.
func newProgram(blocks []*block) (g *program, rows []int) {
	g = &program{}
	at := map[int]int{}
	var strict []spot
	for k, b := range blocks {
		g.sizes = append(g.sizes, b.size())
		if b.strict {
			strict = append(strict, spot{k, 0, 0, 1})
		}
		for p := range b.entries {
			for i, es := range b.entries[p] {
				for _, e := range es {
					r, ok := at[e.row]
					if !ok {
						r = len(rows)
						at[e.row] = r
						rows = append(rows, e.row)
						g.rows = append(g.rows, nil)
						g.b = append(g.b, 0)
					}
					g.rows[r] = append(g.rows[r], spot{k, p, p + i, toFloat(e.c)})
				}
			}
		}
	}
	g.rows, g.b = append(g.rows, strict), append(g.b, 1)
	return g, rows
}

// onFaces restricts the blocks to the complement of the kernels of a solution
// of highest rank. It fails when no block becomes smaller or a kernel does not
// look rational.
func onFaces(blocks []*block, x []square) ([]*block, bool) {
	scale := largest(x)
	var out []*block
	changed := false
	for k, b := range blocks {
		vectors, ok := kernel(x[k], scale)
		if !ok {
			return nil, false
		}
		r, ok := b.orthogonal(vectors)
		if !ok {
			return nil, false
		}
		changed = changed || r.size() < b.size()
		if r.size() > 0 {
			out = append(out, r)
		}
	}
	return out, changed
}

// trialScale makes all products of few trial coordinates integers.
const trialScale = 1 << 12

// precisions are the denominators tried for the entries of the matrices.
var precisions = []int64{1, 2, 4, 12, 60, 360, 1 << 12, 1 << 20, 1 << 30}
