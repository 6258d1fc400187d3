package quadratic

import (
	"math/big"

	"squaremark/algebra/budget"
	"squaremark/algebra/number"
)

// integers is m times a positive integer, as integers, when that is the faster
// way: all entries rational and more than half of them not zero.
func (m *matrix) integers() (rows [][]big.Int, scale number.Num, ok bool) {
	filled, scale := 0, number.Int(1)
	for _, row := range m.at {
		for _, c := range row {
			if !c.IsRational() {
				return nil, scale, false
			}
			if !c.IsZero() {
				filled++
				if !c.IsInteger() {
					scale = number.LCM(scale, c.Denominator())
				}
			}
		}
	}
	if m.n < 4 || 4*filled < (m.n+1)*(m.n+2) {
		return nil, scale, false
	}
	rows = make([][]big.Int, m.n+1)
	for i, row := range m.at {
		rows[i] = make([]big.Int, len(row))
		for j, c := range row {
			set(&rows[i][j], c.Mul(scale))
		}
	}
	return rows, scale, true
}

// set copies an integer.
func set(z *big.Int, c number.Num) {
	if k, small := c.Int64(); small {
		z.SetInt64(k)
		return
	}
	r, _ := c.Rat()
	z.Set(r.Num())
}

// maxNormed bounds the variables up to which a completed square is written
// with leading coefficient 1; beyond it the integers are left as they are,
// because reducing fractions would cost more than the elimination.
const maxNormed = 12

// eliminateIntegers is eliminate without fractions: after k pivots every entry
// is a minor of the matrix, so that dividing by the pivot before is exact.
//
// Source: E. H. Bareiss, Sylvester's identity and multistep integer-preserving
// Gaussian elimination, Math. Comp. 22 (1968) (from memory).
func (m *matrix) eliminateIntegers(a [][]big.Int, scale number.Num, meter *budget.Meter) (*elimination, bool) {
	e := &elimination{n: m.n}
	before := big.NewInt(1)
	var s, t big.Int
	for k := range m.n {
		row := a[k]
		pivot := &row[0]
		if pivot.Sign() <= 0 {
			// All entries carry the same positive factor, so that directions
			// can be read from them as they are.
			m.take(a, k)
			if e.fall = m.fallFrom(k); e.fall != nil {
				return e, true
			}
			e.free = append(e.free, k)
			continue
		}
		if !meter.Spend(int64(len(row)*len(row)/2) * (budget.CostTermMul + int64(pivot.BitLen()/32))) {
			return nil, false
		}
		for j := 1; j < len(row); j++ {
			below := a[k+j]
			for i := range below {
				s.Mul(pivot, &below[i])
				t.Mul(&row[j], &row[j+i])
				s.Sub(&s, &t)
				below[i].Quo(&s, before)
			}
		}
		e.steps = append(e.steps, integerStep(row, k, m.n, before, scale))
		before = pivot
	}
	e.rest, _ = number.FromBigInt(&a[m.n][0]).Div(number.FromBigInt(before).Mul(scale))
	return e, true
}

// integerStep is the square of an integer row: f holds row²/(pivot·before·scale).
func integerStep(row []big.Int, k, n int, before *big.Int, scale number.Num) step {
	full := make([]number.Num, n+1)
	pivot := number.FromBigInt(&row[0])
	divisor := number.FromBigInt(before).Mul(scale)
	if n > maxNormed {
		for j := range row {
			full[k+j] = number.FromBigInt(&row[j])
		}
		coef, _ := pivot.Mul(divisor).Inv()
		return step{k, coef, full}
	}
	inv, _ := pivot.Inv()
	for j := range row {
		full[k+j] = number.FromBigInt(&row[j]).Mul(inv)
	}
	coef, _ := pivot.Div(divisor)
	return step{k, coef, full}
}

// take writes the rows from k on back into m.
func (m *matrix) take(a [][]big.Int, k int) {
	for i := k; i <= m.n; i++ {
		for j := range a[i] {
			m.at[i][j] = number.FromBigInt(&a[i][j])
		}
	}
}
