package onevar_test

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"squaremark/algebra/budget"
	"squaremark/algebra/decide/onevar"
	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/poly/uni"
)

// ring has an unused variable in front, so that indices matter.
func ring() *poly.Ring {
	l := budget.Default()
	l.Work *= 20
	return poly.NewRing([]string{"w", "x"}, budget.New(l))
}

const x = 1

// genUni draws a product of small factors, so that roots are often shared,
// repeated, irrational, or no square roots.
func genUni(surds bool) *rapid.Generator[uni.Uni] {
	return rapid.Custom(func(t *rapid.T) uni.Uni {
		f := uni.Ints(rapid.Int64Range(-3, 3).Draw(t, "factor"))
		for range rapid.IntRange(0, 3).Draw(t, "factors") {
			degree := rapid.IntRange(1, 3).Draw(t, "degree")
			g := make([]number.Num, degree+1)
			for k := range g {
				g[k] = number.Int(rapid.Int64Range(-3, 3).Draw(t, "c"))
				if surds && rapid.IntRange(0, 3).Draw(t, "surd") == 0 {
					r, _ := number.Int(rapid.Int64Range(2, 3).Draw(t, "d")).Sqrt()
					g[k] = g[k].Add(r)
				}
			}
			f = f.Mul(uni.New(g...))
		}
		return f
	})
}

var rels = []poly.Rel{poly.Eq, poly.Ne, poly.Lt, poly.Le, poly.Gt, poly.Ge}

func genConjunction(t *rapid.T) *evidence.Conjunction {
	r := ring()
	c := &evidence.Conjunction{Ring: r}
	surds := rapid.IntRange(0, 3).Draw(t, "with surds") == 0
	for range rapid.IntRange(1, 4).Draw(t, "conditions") {
		c.Conds = append(c.Conds, poly.Condition{
			P:   r.FromUni(genUni(surds).Draw(t, "f"), x),
			Rel: rapid.SampledFrom(rels).Draw(t, "rel"),
		})
	}
	if rapid.Bool().Draw(t, "whole") {
		c.Whole = []bool{false, true}
	}
	return c
}

func all(n int) []int {
	use := make([]int, n)
	for i := range use {
		use[i] = i
	}
	return use
}

func holdsAt(c *evidence.Conjunction, v number.Num) bool {
	return evidence.CheckPoint(&evidence.Conjunction{Ring: c.Ring, Conds: c.Conds}, evidence.Point{{}, v}) == nil
}

// The kernel accepts every answer, and no point of a grid contradicts it.
func TestDecideIsAcceptedByTheKernel(t *testing.T) {
	kinds := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		c := genConjunction(t)
		a := onevar.Decide(c, x, all(len(c.Conds)))
		require.NoError(t, c.Ring.Meter().Err())
		kinds[accepted(t, c, a)]++
		if a.Refutation != nil || a.NoInteger {
			for k := int64(-60); k <= 60; k++ {
				v := number.Frac(k, 6)
				if c.IsWhole(x) {
					v = number.Int(k)
				}
				require.False(t, holdsAt(c, v), "all conditions hold at %s", v)
			}
		}
	})
	t.Log(kinds)
	for _, kind := range []string{"refutation", "point"} {
		require.NotZero(t, kinds[kind], "no test reached the answer %q", kind)
	}
}

// accepted demands that the kernel accepts the answer, and names its kind.
func accepted(t require.TestingT, c *evidence.Conjunction, a onevar.Answer) string {
	switch {
	case a.Refutation != nil:
		require.NoError(t, evidence.CheckRefutation(c, a.Refutation))
		return "refutation"
	case a.Found:
		require.NoError(t, evidence.CheckPoint(c, evidence.Point{{}, a.Value}))
		return "point"
	case a.Root != nil:
		require.NoError(t, evidence.CheckRootPoint(c, *a.Root))
		return "root"
	}
	require.True(t, a.NoInteger)
	require.True(t, c.IsWhole(x))
	return "no integer"
}

// Rows to be checked by eye: coefficients from the constant term up.
func TestDecide(t *testing.T) {
	type row struct {
		name  string
		conds []onevarCondition
		whole bool
		want  string
	}
	for _, r := range []row{
		{"x^2 + 1 <= 0", []onevarCondition{{[]int64{1, 0, 1}, poly.Le}}, false, "refuted by [0]"},
		{"x^2 - 2 = 0", []onevarCondition{{[]int64{-2, 0, 1}, poly.Eq}}, false, "-sqrt(2)"},
		{"x^2 - 2 = 0 and x > 0", []onevarCondition{{[]int64{-2, 0, 1}, poly.Eq}, {[]int64{0, 1}, poly.Gt}}, false, "sqrt(2)"},
		{"x^3 - 2 = 0", []onevarCondition{{[]int64{-2, 0, 0, 1}, poly.Eq}}, false, "root"},
		{"x^2 - 2 = 0, whole", []onevarCondition{{[]int64{-2, 0, 1}, poly.Eq}}, true, "no integer"},
		{"7 < 2x < 9, whole", []onevarCondition{{[]int64{-7, 2}, poly.Gt}, {[]int64{-9, 2}, poly.Lt}}, true, "4"},
		{"7 < 2x < 9", []onevarCondition{{[]int64{-7, 2}, poly.Gt}, {[]int64{-9, 2}, poly.Lt}}, false, "4"},
		{"0 < 5x < 2", []onevarCondition{{[]int64{0, 1}, poly.Gt}, {[]int64{-2, 5}, poly.Lt}}, false, "1/3"},
		{"x > 100", []onevarCondition{{[]int64{-100, 1}, poly.Gt}}, false, "101"},
		{"x > 3 and x < 2, x != 7 not needed", []onevarCondition{{[]int64{-7, 1}, poly.Ne}, {[]int64{-3, 1}, poly.Gt}, {[]int64{-2, 1}, poly.Lt}}, false, "refuted by [1 2]"},
		{"(x^2-3)^2 <= 0", []onevarCondition{{[]int64{9, 0, -6, 0, 1}, poly.Le}}, false, "-sqrt(3)"},
		{"x^4 - 10x^2 + 1 = 0, x > 1", []onevarCondition{{[]int64{1, 0, -10, 0, 1}, poly.Eq}, {[]int64{-1, 1}, poly.Gt}}, false, "sqrt(2) + sqrt(3)"},
	} {
		c := &evidence.Conjunction{Ring: ring()}
		for _, cond := range r.conds {
			c.Conds = append(c.Conds, poly.Condition{P: c.Ring.FromUni(uni.Ints(cond.coefs...), x), Rel: cond.rel})
		}
		if r.whole {
			c.Whole = []bool{false, true}
		}
		a := onevar.Decide(c, x, all(len(c.Conds)))
		require.Equal(t, r.want, answerText(a), r.name)
		accepted(t, c, a)
	}
}

type onevarCondition struct {
	coefs []int64
	rel   poly.Rel
}

func answerText(a onevar.Answer) string {
	switch {
	case a.Refutation != nil:
		text := "refuted by ["
		for i, k := range a.Refutation.Use {
			if i > 0 {
				text += " "
			}
			text += big.NewInt(int64(k)).String()
		}
		return text + "]"
	case a.Found:
		return a.Value.String()
	case a.Root != nil:
		return "root"
	case a.NoInteger:
		return "no integer"
	}
	return "nothing"
}

func TestDecideGivesUpWhenTheMeterIsEmpty(t *testing.T) {
	l := budget.Default()
	l.Work = 100
	r := poly.NewRing([]string{"w", "x"}, budget.New(l))
	p := uni.Ints(7, 1, -3, 0, 2, 5, -9, 1, 4)
	c := &evidence.Conjunction{Ring: r, Conds: []poly.Condition{{P: r.FromUni(p, x), Rel: poly.Eq}}}
	require.Equal(t, "nothing", answerText(onevar.Decide(c, x, []int{0})))
}

func TestDecideLeavesOtherVariablesAlone(t *testing.T) {
	r := ring()
	c := &evidence.Conjunction{Ring: r, Conds: []poly.Condition{{P: r.Mul(r.Var(0), r.Var(x)), Rel: poly.Eq}}}
	require.Equal(t, "nothing", answerText(onevar.Decide(c, x, []int{0})))
}

func benchmarkDecide(b *testing.B, rel poly.Rel, coefs ...int64) {
	l := budget.Default()
	l.Work = 1 << 60
	r := poly.NewRing([]string{"x"}, budget.New(l))
	c := &evidence.Conjunction{Ring: r, Conds: []poly.Condition{{P: r.FromUni(uni.Ints(coefs...), 0), Rel: rel}}}
	for b.Loop() {
		if (onevar.Decide(c, 0, []int{0}) == onevar.Answer{}) {
			b.Fatal("no answer")
		}
	}
}

func BenchmarkDecideDegree2Refuted(b *testing.B) { benchmarkDecide(b, poly.Le, 7, 3, 1) }
func BenchmarkDecideDegree2Surd(b *testing.B)    { benchmarkDecide(b, poly.Eq, -7, 3, 1) }
func BenchmarkDecideDegree2Far(b *testing.B)     { benchmarkDecide(b, poly.Lt, 99*101, -200, 1) }
func BenchmarkDecideDegree8Root(b *testing.B) {
	benchmarkDecide(b, poly.Eq, 7, 1, -3, 0, 2, 5, -9, 1, -4)
}
func BenchmarkDecideDegree8Refuted(b *testing.B) {
	benchmarkDecide(b, poly.Le, 17, 1, -3, 0, 2, 5, -9, 1, 4)
}
func BenchmarkDecideDegree8EightRoots(b *testing.B) {
	benchmarkDecide(b, poly.Eq, 1, 0, -32, 0, 160, 0, -256, 0, 128) // Chebyshev
}
