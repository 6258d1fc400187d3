package poly_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"squaremark/algebra/budget"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/poly/uni"
)

// Each hostile question ends at its limit, soon, and the meter says which.
func TestLimits(t *testing.T) {
	huge := number.Int(3).Pow(2000)
	for _, row := range []struct {
		name, limit string
		work        func(r *poly.Ring)
	}{
		{"power of a sum", "terms", func(r *poly.Ring) {
			r.Meter().Limits.Terms = 500
			r.Pow(r.Sum(r.Var(0), r.Var(1), r.Var(2), r.Var(3), r.Int(1)), 100)
		}},
		{"power of a power", "degree", func(r *poly.Ring) { r.Pow(r.Pow(r.Var(0), 100), 100) }},
		{"power beyond a byte", "degree", func(r *poly.Ring) {
			r.Meter().Limits.Degree = 1 << 20
			r.Pow(r.Add(r.Var(0), r.Int(1)), 256)
		}},
		{"monomial", "degree", func(r *poly.Ring) { r.Monomial(number.Int(1), []int{100, 100}) }},
		{"negative power", "degree", func(r *poly.Ring) { r.Monomial(number.Int(1), []int{-1}) }},
		{"power of a number", "bits", func(r *poly.Ring) { r.Pow(r.Int(3), 1<<40) }},
		{"value at a large number", "bits", func(r *poly.Ring) { r.Eval(r.Pow(r.Var(0), 9), 0, huge) }},
		{"value at a point", "bits", func(r *poly.Ring) {
			r.EvalAll(r.Pow(r.Var(0), 9), []number.Num{huge, {}, {}, {}})
		}},
		{"product of high powers", "degree", func(r *poly.Ring) {
			r.Mul(r.Pow(r.Var(0), 70), r.Pow(r.Var(1), 70))
		}},
		{"coefficients of high powers", "degree", func(r *poly.Ring) {
			r.FromCoeffs(0, []poly.Poly{1: r.Pow(r.Var(1), 128)})
		}},
		{"dense polynomial", "degree", func(r *poly.Ring) { r.FromUni(make(uni.Uni, 200), 0) }},
		{"long number", "bits", func(r *poly.Ring) { r.Const(huge.Mul(huge)) }},
		{"division by many roots", "bits", func(r *poly.Ring) {
			f := r.Var(0)
			for _, p := range []int64{2, 3, 5, 7, 11, 13, 17, 19} {
				root, _ := number.Int(p).Sqrt()
				f = r.Add(f, r.Scale(r.Var(0), root))
			}
			r.DivExact(r.Mul(f, f), f)
		}},
		{"product of long sums", "work", func(r *poly.Ring) {
			f := r.Pow(r.Sum(r.Var(0), r.Var(1), r.Var(2), r.Var(3), r.Int(1)), 12)
			r.Mul(f, f)
		}},
		{"common divisor", "", func(r *poly.Ring) {
			f := r.Pow(r.Sum(r.Var(0), r.Scale(r.Var(1), number.Frac(2, 3)), r.Var(2), r.Int(5)), 7)
			g := r.Pow(r.Sub(r.Mul(r.Var(0), r.Var(1)), r.Var(3)), 5)
			h := r.Add(r.Mul(r.Var(0), r.Var(3)), r.Int(7))
			r.GCD(r.Mul(r.Add(f, g), h), r.Mul(r.Sub(f, g), h))
		}},
		{"resultant", "", func(r *poly.Ring) {
			f := r.Pow(r.Sum(r.Var(0), r.Var(1), r.Var(2), r.Var(3)), 9)
			r.Resultant(f, r.Add(r.Pow(r.Sub(f, r.Int(1)), 1), r.Var(1)), 0)
		}},
	} {
		t.Run(row.name, func(t *testing.T) {
			r := letters("wxyz")
			start := time.Now()
			row.work(r)
			require.Less(t, time.Since(start), 2*time.Second)
			err := r.Meter().Err()
			if row.limit == "" {
				return
			}
			var exhausted *budget.ExhaustedError
			require.ErrorAs(t, err, &exhausted)
			require.Equal(t, row.limit, exhausted.Limit)
		})
	}
}

// With nothing left every operation returns something well-formed.
func TestExhausted(t *testing.T) {
	rich := letters("xy")
	f, g := read(t, rich, "(x + y)^3*(x - 1)"), read(t, rich, "(x + y)^2*(y + 2)")
	for _, work := range []int64{0, 1, 10, 50, 100, 200, 500, 1000, 2000, 5000} {
		l := budget.Default()
		l.Work = work
		r := rich.With(budget.New(l))
		for _, p := range []poly.Poly{
			r.Add(f, g), r.Sub(f, g), r.Mul(f, g), r.Pow(f, 4), r.GCD(f, g), r.Resultant(f, g, 0),
			r.Discriminant(f, 1), r.PseudoRem(f, g, 0), r.Subst(f, 0, g), r.Derivative(f, 0),
			r.Eval(f, 1, number.Int(7)), r.Primitive(f), r.Neg(f), r.Scale(f, number.Int(3)),
		} {
			require.NoError(t, poly.Canonical(r, p))
		}
		q, rest := r.Reduce(f, []poly.Poly{g})
		require.NoError(t, poly.Canonical(r, q[0]))
		require.NoError(t, poly.Canonical(r, rest))
		q2, _ := r.DivExact(f, g)
		require.NoError(t, poly.Canonical(r, q2))
		for _, x := range r.SquareFree(f) {
			require.NoError(t, poly.Canonical(r, x.Base))
		}
		r.EvalAll(f, []number.Num{number.Int(1), number.Int(2)})
		r.Coeffs(f, 0)
		r.SubstFrac(f, 0, g, f)
	}
}
