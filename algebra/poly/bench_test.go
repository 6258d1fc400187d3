package poly_test

import (
	"fmt"
	"testing"

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

func BenchmarkMul20x20(b *testing.B) {
	r := roomy("a", "b", "c", "d")
	f, g := terms(r, 20, 1), terms(r, 20, 5)
	b.ReportAllocs()
	for b.Loop() {
		r.Mul(f, g)
	}
}

func BenchmarkMulWide(b *testing.B) {
	r := roomy(names(9)...)
	s := read(b, r, "(x1+x2+x3+x4+x5+x6+x7+x8+x9)^2")
	b.ReportAllocs()
	for b.Loop() {
		r.Mul(s, s)
	}
}

func BenchmarkPow6(b *testing.B) {
	r := roomy("a", "b", "c", "d")
	s := r.Sum(r.Var(0), r.Var(1), r.Var(2), r.Var(3))
	b.ReportAllocs()
	for b.Loop() {
		r.Pow(s, 6)
	}
}

func BenchmarkAlgorithms(b *testing.B) {
	r := roomy("x", "y", "z")
	f := read(b, r, "(x + 2*y - z)^2*(x*y - z + 1)")
	g := read(b, r, "(x + 2*y - z)*(x*z + y^2 - 3)")
	coprime := r.Add(g, r.Int(1))
	q := read(b, r, "(x + 2*y - z)*(x*y - z + 1)")
	p := read(b, r, "(1/2*x + 2/3*y - z + 5/6)^4")
	surd := read(b, r, "(sqrt(2)*x + y - sqrt(3)*z)^3")
	point := []number.Num{number.Frac(2, 3), number.Int(-5), number.Int(4)}
	for _, row := range []struct {
		name string
		do   func()
	}{
		{"gcd", func() { r.GCD(f, g) }},
		{"gcd of coprime", func() { r.GCD(f, coprime) }},
		{"square-free", func() { r.SquareFree(f) }},
		{"exact division", func() { r.DivExact(f, q) }},
		{"discriminant", func() { r.Discriminant(f, 2) }},
		{"product of fractions", func() { r.Mul(p, p) }},
		{"product with roots", func() { r.Mul(surd, surd) }},
		{"value", func() { r.EvalAll(f, point) }},
		{"substitution", func() { r.Subst(f, 0, q) }},
		{"sum", func() { r.Add(f, g) }},
	} {
		b.Run(row.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				row.do()
			}
		})
	}
}

// BenchmarkWays compares the ways to multiply.
func BenchmarkWays(b *testing.B) {
	r := roomy("a", "b", "c", "d")
	for _, n := range []int{2, 3, 4, 5, 6, 8, 12} {
		f, g := terms(r, n, 1), terms(r, n, 5)
		for name, way := range r.Ways(f, g) {
			b.Run(fmt.Sprintf("%02d products/%s", n*n, name), func(b *testing.B) {
				for b.Loop() {
					way()
				}
			})
		}
	}
}
