package squares

// chooseColumns finds which candidates a linear proof is likely to use; nil
// when there seems to be none.
func (s *system) chooseColumns(columns []column) []int {
	rows := map[int]int{}
	some := false
	for i := range columns {
		for _, e := range columns[i].entries {
			if _, ok := rows[e.row]; !ok {
				rows[e.row] = len(rows) + 1
			}
		}
		some = some || columns[i].strict
	}
	if !some {
		return nil
	}
	n := len(rows) + 1
	dense := make([][]float64, len(columns))
	for j := range columns {
		v := make([]float64, n)
		if columns[j].strict {
			v[0] = 1
		}
		for _, e := range columns[j].entries {
			v[rows[e.row]] = toFloat(e.c)
		}
		dense[j] = v
	}
	b := make([]float64, n)
	b[0] = 1
	if !s.ring.Meter().Spend(int64(n * len(columns))) {
		return nil
	}
	x, residual := nonNegativeLeastSquares(dense, b)
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
