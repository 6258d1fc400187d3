package squares

import (
	"math"

	"squaremark/algebra/number"
)

// kernel lists rational vectors that span the kernel of a positive
// semidefinite matrix known to about 1e-6; ok is false when the kernel does not
// look rational.
func kernel(x square, scale float64) (vectors [][]number.Num, ok bool) {
	values, eigenvectors := x.eigen()
	var rows [][]float64
	for i, v := range values {
		if v < 1e-4*scale {
			rows = append(rows, append([]float64(nil), eigenvectors.row(i)...))
		}
	}
	reduceRows(rows)
	for _, row := range rows {
		exact := make([]number.Num, len(row))
		for j, v := range row {
			if exact[j], ok = simpleFraction(v); !ok {
				return nil, false
			}
		}
		vectors = append(vectors, exact)
	}
	return vectors, true
}

// reduceRows brings independent rows to reduced echelon form.
func reduceRows(rows [][]float64) {
	if len(rows) == 0 {
		return
	}
	col := 0
	for r := 0; r < len(rows) && col < len(rows[0]); col++ {
		p := r
		for i := r; i < len(rows); i++ {
			if math.Abs(rows[i][col]) > math.Abs(rows[p][col]) {
				p = i
			}
		}
		if math.Abs(rows[p][col]) < 1e-3 {
			continue
		}
		rows[r], rows[p] = rows[p], rows[r]
		c := rows[r][col]
		for j := range rows[r] {
			rows[r][j] /= c
		}
		for i := range rows {
			if i != r {
				addScaled(rows[i], rows[r], -rows[i][col])
			}
		}
		r++
	}
}

// maxKernelDenominator bounds the fractions that a kernel may have.
const maxKernelDenominator = 48

// simpleFraction is the fraction with the least denominator within 1e-4/d.
func simpleFraction(v float64) (number.Num, bool) {
	for d := int64(1); d <= maxKernelDenominator; d++ {
		n := math.Round(v * float64(d))
		if math.Abs(v*float64(d)-n) < 2e-4 {
			return number.Frac(int64(n), d), true
		}
	}
	return number.Num{}, false
}

// largest is the greatest diagonal element.
func largest(xs []square) float64 {
	v := 0.0
	for _, x := range xs {
		for i := range x.n {
			v = max(v, x.a[i*x.n+i])
		}
	}
	return v
}

// rounded is v as a fraction with denominator d.
func rounded(v float64, d int64) (number.Num, bool) {
	n := math.Round(v * float64(d))
	if math.IsNaN(n) || math.Abs(n) > 1e17 {
		return number.Num{}, false
	}
	return number.Frac(int64(n), d), true
}
