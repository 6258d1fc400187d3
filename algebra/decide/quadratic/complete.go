package quadratic

import (
	"squaremark/algebra/budget"
	"squaremark/algebra/number"
)

// Complete writes the form Σ a[i][j]·x_i·x_j of a symmetric matrix as
// Σ coefs[k]·(Σ rows[k][i]·x_i)² with coefs[k] > 0; ok is false when the form
// takes negative values, or as in LeastValue. Exact. Cost: as LeastValue.
func Complete(a [][]number.Num, meter *budget.Meter) (coefs []number.Num, rows [][]number.Num, ok bool) {
	m := &matrix{n: len(a), at: make([][]number.Num, len(a)+1)}
	for i := range a {
		m.at[i] = append(append([]number.Num(nil), a[i][i:]...), number.Num{})
	}
	m.at[m.n] = make([]number.Num, 1)
	e, ok := m.eliminate(meter)
	if !ok || e.fall != nil {
		return nil, nil, false
	}
	for _, s := range e.steps {
		coefs, rows = append(coefs, s.coef), append(rows, s.row[:m.n])
	}
	return coefs, rows, true
}
