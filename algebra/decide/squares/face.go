package squares

import "squaremark/algebra/number"

// atPoints restricts each block to squares that vanish at the tight points
// where its product is positive.
func atPoints(blocks []*block, points tight) []*block {
	var out []*block
	for _, b := range blocks {
		if r, ok := b.orthogonal(points.open(b.of).values(b.monomials)); ok && r.size() > 0 {
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
