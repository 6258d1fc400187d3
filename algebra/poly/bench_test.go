package poly_test

import (
	"testing"

	"squaremark/algebra/budget"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// terms is a polynomial of n terms with small coefficients.
func terms(r *poly.Ring, n, seed int) poly.Poly {
	var f poly.Poly
	for k := 0; f.Len() < n; k++ {
		s := seed + 7*k
		exps := []int{s % 4, s / 3 % 3, s / 5 % 4, s / 7 % 3}
		f = r.Add(f, r.Monomial(number.Int(int64(k%9-4)), exps))
	}
	return f
}

func roomy() *budget.Meter {
	l := budget.Default()
	l.Work = 1 << 60
	return budget.New(l)
}

func BenchmarkMul20x20(b *testing.B) {
	r := poly.NewRing([]string{"a", "b", "c", "d"}, roomy())
	f, g := terms(r, 20, 1), terms(r, 20, 5)
	b.ReportAllocs()
	for b.Loop() {
		r.Mul(f, g)
	}
	b.ReportMetric(float64(r.Mul(f, g).Len()), "terms")
}

func BenchmarkPow6(b *testing.B) {
	r := poly.NewRing([]string{"a", "b", "c", "d"}, roomy())
	s := r.Sum(r.Var(0), r.Var(1), r.Var(2), r.Var(3))
	b.ReportAllocs()
	for b.Loop() {
		r.Pow(s, 6)
	}
}
