package squares

// chooseColumns finds which candidates a linear proof is likely to use; nil
// when there seems to be none.
func (s *system) chooseColumns(columns []column) []int {
	rows := map[int]int{}
	some := false
	sparseColumns := make([]sparse, len(columns))
	for j := range columns {
		c := &sparseColumns[j]
		if columns[j].strict {
			c.at, c.v = append(c.at, 0), append(c.v, 1)
			some = true
		}
		for _, e := range columns[j].entries {
			k, ok := rows[e.row]
			if !ok {
				k = len(rows) + 1
				rows[e.row] = k
			}
			c.at, c.v = append(c.at, k), append(c.v, toFloat(e.c))
		}
	}
	if !some {
		return nil
	}
	b := make([]float64, len(rows)+1)
	b[0] = 1
	x, residual := nonNegativeLeastSquares(sparseColumns, b, s.ring.Meter().Spend)
	if !(residual < 1e-7) {
		return nil
	}
	var use []int
	for j, v := range x {
		if v > 1e-10 {
			use = append(use, j)
		}
	}
	return use
}
