package quadratic_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"squaremark/algebra/budget"
	"squaremark/algebra/decide/quadratic"
	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

func ring(names string) *poly.Ring {
	l := budget.Default()
	l.Work = 1 << 40
	return poly.NewRing(strings.Fields(names), budget.New(l))
}

// build adds up terms given as coefficient and exponents.
func build(r *poly.Ring, terms ...[]int64) poly.Poly {
	var f poly.Poly
	for _, t := range terms {
		exps := make([]int, r.Len())
		for i := range exps {
			exps[i] = int(t[i+1])
		}
		f = r.Add(f, r.Monomial(number.Int(t[0]), exps))
	}
	return f
}

// check asks the kernel about a result: a non-negative f cannot be below 0,
// and a point makes f < 0.
func check(t require.TestingT, r *poly.Ring, f poly.Poly, got quadratic.Result) {
	c := &evidence.Conjunction{Ring: r, Conds: []poly.Condition{{P: f, Rel: poly.Lt}}}
	switch got.Verdict {
	case evidence.Holds:
		self := evidence.Term{Coef: number.Int(1), Root: r.Int(1), Factors: []int{0}}
		require.NoError(t, evidence.CheckRefutation(c, &evidence.Combination{Terms: append([]evidence.Term{self}, got.Terms...)}))
	case evidence.Fails:
		require.NoError(t, evidence.CheckPoint(c, got.Below))
	}
}

func TestNonNegative(t *testing.T) {
	r := ring("x y z")
	rows := []struct {
		text  string
		terms [][]int64
		want  evidence.Verdict
	}{
		{"0", nil, evidence.Holds},
		{"7", [][]int64{{7, 0, 0, 0}}, evidence.Holds},
		{"-7", [][]int64{{-7, 0, 0, 0}}, evidence.Fails},
		{"x", [][]int64{{1, 1, 0, 0}}, evidence.Fails},
		{"x^2", [][]int64{{1, 2, 0, 0}}, evidence.Holds},
		{"-x^2", [][]int64{{-1, 2, 0, 0}}, evidence.Fails},
		{"x*y", [][]int64{{1, 1, 1, 0}}, evidence.Fails},
		{"5*x*y + 70*y^2", [][]int64{{5, 1, 1, 0}, {70, 0, 2, 0}}, evidence.Fails},
		{"x^2 - 6*x + 9", [][]int64{{1, 2, 0, 0}, {-6, 1, 0, 0}, {9, 0, 0, 0}}, evidence.Holds},
		{"x^2 - 6*x + 8", [][]int64{{1, 2, 0, 0}, {-6, 1, 0, 0}, {8, 0, 0, 0}}, evidence.Fails},
		{"x^2 + y (linear part outside the range)", [][]int64{{1, 2, 0, 0}, {1, 0, 1, 0}}, evidence.Fails},
		{"x^2 + y^2 + z^2 - x*y - y*z - z*x", [][]int64{{1, 2, 0, 0}, {1, 0, 2, 0}, {1, 0, 0, 2}, {-1, 1, 1, 0}, {-1, 0, 1, 1}, {-1, 1, 0, 1}}, evidence.Holds},
		{"x^2 + y^2 + z^2 - 2*x*y - y*z", [][]int64{{1, 2, 0, 0}, {1, 0, 2, 0}, {1, 0, 0, 2}, {-2, 1, 1, 0}, {-1, 0, 1, 1}}, evidence.Fails},
		{"2*x^2 + y^2 - 2*x*y + 4*x - 2*y + 3", [][]int64{{2, 2, 0, 0}, {1, 0, 2, 0}, {-2, 1, 1, 0}, {4, 1, 0, 0}, {-2, 0, 1, 0}, {3, 0, 0, 0}}, evidence.Holds},
	}
	for _, row := range rows {
		t.Run(row.text, func(t *testing.T) {
			f := build(r, row.terms...)
			got := quadratic.NonNegative(r, f)
			require.Equal(t, row.want, got.Verdict)
			check(t, r, f, got)
		})
	}
}

func TestSmallPoint(t *testing.T) {
	r := ring("x y z")
	f := build(r, []int64{1, 2, 0, 0}, []int64{1, 0, 2, 0}, []int64{-3, 1, 1, 0})
	got := quadratic.NonNegative(r, f)
	require.Equal(t, "[1 1 0]", fmt.Sprint(got.Below), "x^2 + y^2 - 3xy < 0 where a pupil would try first")
}

func TestDegreeThreeIsLeftOpen(t *testing.T) {
	r := ring("x y z")
	require.Equal(t, evidence.Unsettled, quadratic.NonNegative(r, build(r, []int64{1, 3, 0, 0})).Verdict)
}

func TestLeastValue(t *testing.T) {
	r := ring("x y z")
	// (x + y - 2)² + (y - 1)² + 5, any z.
	f := build(r, []int64{1, 2, 0, 0}, []int64{2, 0, 2, 0}, []int64{2, 1, 1, 0}, []int64{-4, 1, 0, 0}, []int64{-6, 0, 1, 0}, []int64{10, 0, 0, 0})
	l, ok := quadratic.LeastValue(r, f)
	require.True(t, ok && l.Bounded)
	require.Equal(t, "5 [1 1 0] []", fmt.Sprint(l.Value, l.At, l.Directions))
	// (x - y + 3)²: a line of equality.
	f = r.Square(build(r, []int64{1, 1, 0, 0}, []int64{-1, 0, 1, 0}, []int64{3, 0, 0, 0}))
	l, ok = quadratic.LeastValue(r, f)
	require.True(t, ok && l.Bounded)
	require.Equal(t, "0 [-3 0 0] [[1 1 0]]", fmt.Sprint(l.Value, l.At, l.Directions))
	// x² + 2y: no least value.
	l, ok = quadratic.LeastValue(r, build(r, []int64{1, 2, 0, 0}, []int64{2, 0, 1, 0}))
	require.True(t, ok)
	require.Equal(t, "false [0 -1 0]", fmt.Sprint(l.Bounded, l.Ray))
}

func TestSquareRoots(t *testing.T) {
	r := ring("x y")
	root2, _ := number.Int(2).Sqrt()
	// x² - 2√2·xy + 2y² = (x - √2·y)²; with 2.1y² below the middle term it stays
	// non-negative, with 1.9y² it does not.
	for tenths, want := range map[int64]evidence.Verdict{20: evidence.Holds, 21: evidence.Holds, 19: evidence.Fails} {
		f := r.Sum(r.Monomial(number.Int(1), []int{2, 0}),
			r.Monomial(root2.Mul(number.Int(-2)), []int{1, 1}), r.Monomial(number.Frac(tenths, 10), []int{0, 2}))
		got := quadratic.NonNegative(r, f)
		require.Equal(t, want, got.Verdict)
		check(t, r, f, got)
	}
}

func TestRefute(t *testing.T) {
	r := ring("x y z")
	square := build(r, []int64{1, 2, 0, 0}, []int64{-4, 1, 0, 0}, []int64{4, 0, 0, 0}) // (x - 2)²
	above := r.Add(square, r.Int(3))
	rows := []struct {
		p    poly.Poly
		rel  poly.Rel
		want bool
	}{
		{square, poly.Lt, true}, {square, poly.Le, false}, {square, poly.Eq, false}, {square, poly.Ne, false},
		{above, poly.Le, true}, {above, poly.Eq, true}, {above, poly.Ge, false}, {above, poly.Gt, false},
		{r.Neg(square), poly.Gt, true}, {r.Neg(square), poly.Ge, false},
		{r.Neg(above), poly.Ge, true}, {r.Neg(above), poly.Eq, true}, {r.Neg(above), poly.Lt, false},
		{poly.Poly{}, poly.Ne, true}, {poly.Poly{}, poly.Lt, true}, {poly.Poly{}, poly.Le, false},
		{r.Int(-2), poly.Ge, true}, {r.Int(-2), poly.Eq, true}, {r.Var(1), poly.Lt, false},
	}
	for _, row := range rows {
		c := &evidence.Conjunction{Ring: r, Conds: []poly.Condition{{P: r.Var(2), Rel: poly.Gt}, {P: row.p, Rel: row.rel}}}
		ref, ok := quadratic.Refute(c)
		require.Equal(t, row.want, ok, "%s %s 0", r.String(row.p), row.rel)
		if ok {
			require.NoError(t, evidence.CheckRefutation(c, ref), "%s %s 0", r.String(row.p), row.rel)
		}
	}
}

// random draws a polynomial of degree at most two, half of the time as a sum
// of squares of affine forms plus a small constant.
func random(t *rapid.T, r *poly.Ring) poly.Poly {
	small := rapid.Int64Range(-4, 4)
	affine := func() poly.Poly {
		f := r.Int(small.Draw(t, "c"))
		for i := range r.Len() {
			f = r.Add(f, r.Scale(r.Var(i), number.Int(small.Draw(t, "a"))))
		}
		return f
	}
	if rapid.Bool().Draw(t, "free") {
		return r.Sum(r.Mul(affine(), affine()), r.Mul(affine(), affine()), affine())
	}
	f := r.Int(rapid.Int64Range(-1, 2).Draw(t, "rest"))
	for range rapid.IntRange(0, 4).Draw(t, "squares") {
		f = r.Add(f, r.Square(affine()))
	}
	return f
}

func TestRandomAreSettled(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := ring("a b c d")
		f := random(t, r)
		got := quadratic.NonNegative(r, f)
		require.NotEqual(t, evidence.Unsettled, got.Verdict)
		check(t, r, f, got)
		l, ok := quadratic.LeastValue(r, f)
		require.True(t, ok)
		if !l.Bounded {
			low := number.Int(-1_000_000)
			for e := 0; r.EvalAll(f, along(l.At, l.Ray, number.Int(2).Pow(e))).Cmp(low) > 0; e++ {
				require.Less(t, e, 64, "f does not fall along the ray")
			}
			return
		}
		sum := r.Const(l.Value)
		for _, s := range l.Squares {
			sum = r.Add(sum, r.Scale(r.Square(s.Form), s.Coef))
		}
		require.True(t, r.Equal(f, sum))
		require.True(t, r.EvalAll(f, l.At).Equal(l.Value))
		for _, d := range l.Directions {
			require.True(t, r.EvalAll(f, along(l.At, d, number.Frac(7, 3))).Equal(l.Value))
		}
		require.Equal(t, len(r.Vars(f)), len(l.Squares)+len(l.Directions))
	})
}

func along(p, d evidence.Point, s number.Num) evidence.Point {
	q := make(evidence.Point, len(p))
	for i := range q {
		q[i] = p[i].Add(s.Mul(d[i]))
	}
	return q
}

// Full matrices go another way than sparse ones, with large integers and with
// fractions too.
func TestManyVariables(t *testing.T) {
	for _, n := range []int{5, 12, 13, 20} {
		r, f := dense(n)
		for _, shift := range []number.Num{{}, number.Frac(1, 3), number.Int(-1_000_000), number.Int(1 << 62).Mul(number.Int(8))} {
			g := r.Scale(r.Add(f, r.Const(shift)), number.Frac(2, 7))
			got := quadratic.NonNegative(r, g)
			require.NotEqual(t, evidence.Unsettled, got.Verdict)
			check(t, r, g, got)
			l, ok := quadratic.LeastValue(r, g)
			require.True(t, ok && l.Bounded)
			require.True(t, r.EvalAll(g, l.At).Equal(l.Value))
		}
		// A negative square of the last variable makes it fall.
		g := r.Sub(f, r.Scale(r.Square(r.Var(n-1)), number.Int(1<<40)))
		got := quadratic.NonNegative(r, g)
		require.Equal(t, evidence.Fails, got.Verdict)
		check(t, r, g, got)
	}
}

func TestComplete(t *testing.T) {
	num := func(rows ...[]int64) [][]number.Num {
		out := make([][]number.Num, len(rows))
		for i, row := range rows {
			for _, v := range row {
				out[i] = append(out[i], number.Int(v))
			}
		}
		return out
	}
	m := budget.New(budget.Default())
	// 4x² + 4xy + 2y² + 6yz + 9z² = 4(x + y/2)² + (y + 3z)².
	coefs, rows, ok := quadratic.Complete(num([]int64{4, 2, 0}, []int64{2, 2, 3}, []int64{0, 3, 9}), m)
	require.True(t, ok)
	require.Equal(t, "[4 1] [[1 1/2 0] [0 1 3]]", fmt.Sprint(coefs, rows))
	_, _, ok = quadratic.Complete(num([]int64{1, 2}, []int64{2, 3}), m)
	require.False(t, ok)
	_, _, ok = quadratic.Complete(num([]int64{0, 1}, []int64{1, 5}), m)
	require.False(t, ok)
	coefs, _, ok = quadratic.Complete(num([]int64{0, 0}, []int64{0, 5}), m)
	require.True(t, ok)
	require.Equal(t, "[5]", fmt.Sprint(coefs))
}

func TestExhaustedMeterLeavesOpen(t *testing.T) {
	l := budget.Default()
	l.Work = 8
	small := poly.NewRing([]string{"x", "y", "z"}, budget.New(l))
	big := ring("x y z")
	f := big.Square(big.Sum(big.Var(0), big.Var(1), big.Var(2)))
	require.Equal(t, evidence.Unsettled, quadratic.NonNegative(small, f).Verdict)
}

func names(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "v%d ", i)
	}
	return b.String()
}

// dense is Σ_k (Σ_i a_ki·x_i)² + Σ x_i² with small coefficients.
func dense(n int) (*poly.Ring, poly.Poly) {
	r := ring(names(n))
	var f poly.Poly
	for k := range n {
		g := r.Int(int64(k%3 - 1))
		for i := range n {
			g = r.Add(g, r.Scale(r.Var(i), number.Int(int64((k*7+i*5+k*i)%5-2))))
		}
		f = r.Add(f, r.Add(r.Square(g), r.Square(r.Var(k))))
	}
	return r, f
}

// cyclic is Σ (x_i - x_{i+1})².
func cyclic(n int) (*poly.Ring, poly.Poly) {
	r := ring(names(n))
	var f poly.Poly
	for i := range n {
		f = r.Add(f, r.Square(r.Sub(r.Var(i), r.Var((i+1)%n))))
	}
	return r, f
}

func BenchmarkNonNegative(b *testing.B) {
	for _, n := range []int{3, 8, 64} {
		for name, make := range map[string]func(int) (*poly.Ring, poly.Poly){"dense": dense, "cyclic": cyclic} {
			b.Run(fmt.Sprintf("%s/%d", name, n), func(b *testing.B) {
				r, f := make(n)
				b.ReportAllocs()
				for b.Loop() {
					if quadratic.NonNegative(r, f).Verdict != evidence.Holds {
						b.Fatal("not settled")
					}
				}
			})
		}
	}
}
