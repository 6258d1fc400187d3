package quadratic

import (
	"squaremark/algebra/budget"
	"squaremark/algebra/number"
)

// step is one completed square: coef·(Σ row[j]·x_j + row[n])² with row[k] > 0
// and zeros before k.
type step struct {
	k    int
	coef number.Num
	row  []number.Num
}

// elimination is what completing squares came to: f = Σ steps + rest when fall
// is nil, with the variables in free left over. Otherwise f falls without
// bound in the direction fall, which concerns variables without a square only.
type elimination struct {
	n     int
	steps []step
	free  []int
	rest  number.Num
	fall  []number.Num
}

// eliminate completes the square for one variable after the other, in their
// order, and stops at the first sign that f is not bounded below: a negative
// square, a product of two variables without squares, or a variable that is
// left in a linear term. ok is false when a division was not possible.
func (m *matrix) eliminate(meter *budget.Meter) (e *elimination, ok bool) {
	if a, scale, ok := m.integers(); ok {
		return m.eliminateIntegers(a, scale, meter)
	}
	e = &elimination{n: m.n}
	for k := range m.n {
		row := m.at[k]
		pivot := row[0]
		if pivot.Sign() <= 0 {
			if e.fall = m.fallFrom(k); e.fall != nil {
				return e, true
			}
			e.free = append(e.free, k)
			continue
		}
		inv, ok := pivot.Inv()
		if !ok {
			return nil, false
		}
		full := make([]number.Num, m.n+1)
		work := 0
		for j, c := range row {
			if c.IsZero() {
				continue
			}
			q := c.Mul(inv)
			full[k+j] = q
			if j == 0 {
				continue
			}
			work += len(row) - j
			below := m.at[k+j]
			for i, d := range row[j:] {
				if !d.IsZero() {
					below[i] = below[i].Sub(q.Mul(d))
				}
			}
		}
		if !meter.Spend(int64(work * budget.CostTermMul)) {
			return nil, false
		}
		e.steps = append(e.steps, step{k, pivot, full})
	}
	e.rest = m.at[m.n][0]
	return e, true
}

// fallFrom is a direction in the variables from k on in which the remaining
// form falls without bound, where variable k has no positive square; nil when
// k does not occur at all.
func (m *matrix) fallFrom(k int) []number.Num {
	row := m.at[k]
	dir := make([]number.Num, m.n)
	sign := func(c number.Num) number.Num { return number.Int(int64(c.Sign())) }
	if row[0].Sign() < 0 {
		// Towards the side on which the linear term helps.
		dir[k] = number.Int(1)
		if row[m.n-k].Sign() > 0 {
			dir[k] = number.Int(-1)
		}
		return dir
	}
	for j := 1; j < m.n-k; j++ {
		// 2c·x_k·x_j + d·x_j² with x_j = 1 and x_k = −s·sign c is negative for
		// s > |d|/2|c|.
		if c := row[j]; !c.IsZero() {
			dir[k+j] = number.Int(1)
			s := number.Int(1)
			if q, ok := m.at[k+j][0].Abs().Div(c.Abs()); ok {
				s = number.FromBigInt(q.Floor()).Add(s)
			}
			dir[k] = s.Mul(sign(c)).Neg()
			return dir
		}
	}
	if c := row[m.n-k]; !c.IsZero() {
		dir[k] = sign(c).Neg()
		return dir
	}
	return nil
}

// solve gives the eliminated variables the values at which every completed
// square is zero, for given values of the others (nil: all zero).
func (e *elimination) solve(values []number.Num) []number.Num { return e.back(values, true) }

// along is solve for a direction: without the constant terms.
func (e *elimination) along(values []number.Num) []number.Num { return e.back(values, false) }

func (e *elimination) back(values []number.Num, constants bool) []number.Num {
	x := make([]number.Num, e.n)
	copy(x, values)
	for i := len(e.steps) - 1; i >= 0; i-- {
		s := e.steps[i]
		var sum number.Num
		if constants {
			sum = s.row[e.n]
		}
		for j := s.k + 1; j < e.n; j++ {
			if c := s.row[j]; !c.IsZero() && !x[j].IsZero() {
				sum = sum.Add(c.Mul(x[j]))
			}
		}
		x[s.k] = sum.Neg()
		if lead := s.row[s.k]; !lead.IsOne() && !sum.IsZero() {
			x[s.k], _ = x[s.k].Div(lead) // a rational: never fails
		}
	}
	return x
}
