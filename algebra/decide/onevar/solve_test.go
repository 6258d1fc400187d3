package onevar_test

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"squaremark/algebra/decide/onevar"
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/poly/uni"
)

func genFormula(t *rapid.T, r *poly.Ring, depth int) *formula.Formula {
	if depth == 0 || rapid.IntRange(0, 2).Draw(t, "leaf") == 0 {
		return formula.Condition(poly.Condition{
			P:   r.FromUni(genUni(false).Draw(t, "f"), x),
			Rel: rapid.SampledFrom(rels).Draw(t, "rel"),
		})
	}
	var kids []*formula.Formula
	for range rapid.IntRange(2, 3).Draw(t, "kids") {
		kids = append(kids, genFormula(t, r, depth-1))
	}
	if rapid.Bool().Draw(t, "and") {
		return formula.And(kids...)
	}
	return formula.Or(kids...)
}

func at(r *poly.Ring, f *formula.Formula, v number.Num) bool {
	switch f.Op {
	case formula.True, formula.False:
		return f.Op == formula.True
	case formula.Is:
		return f.Cond.Rel.Holds(r.EvalAll(f.Cond.P, []number.Num{{}, v}).Sign())
	}
	for _, k := range f.Kids {
		if at(r, k, v) != (f.Op == formula.All) {
			return f.Op == formula.Any
		}
	}
	return f.Op == formula.All
}

// Membership agrees with evaluation on a grid and at the ends of the set.
func TestSolveAgreesWithEvaluation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := ring()
		f := genFormula(t, r, 2)
		s, ok := onevar.SolvePolynomial(r, f, x)
		require.True(t, ok)
		for k := int64(-50); k <= 50; k++ {
			v := number.Frac(k, 6)
			require.Equal(t, at(r, f, v), s.Contains(v), "%s at %s", s.Notation(), v)
		}
		for _, span := range s.Spans() {
			for _, e := range [2]onevar.End{span.Lo, span.Hi} {
				if v, ok := e.At.Num(); ok && !e.Unbounded {
					require.Equal(t, at(r, f, v), e.Closed, "%s at its end %s", s.Notation(), v)
				}
			}
		}
		runs := s.Integers()
		for k := int64(-20); k <= 20; k++ {
			require.Equal(t, s.Contains(number.Int(k)), runs.Contains(big.NewInt(k)), "%s at %d", s.Notation(), k)
		}
		not, ok := onevar.SolvePolynomial(r, formula.Not(f), x)
		require.True(t, ok)
		require.True(t, not.Equal(s.Complement()), "%s against %s", not.Notation(), s.Complement().Notation())
		require.True(t, runs.Complement().Equal(not.Integers()))
	})
}

// The laws of sets, on sets whose ends coincide often.
func TestSetLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := ring()
		solve := func(name string) onevar.Set {
			s, ok := onevar.SolvePolynomial(r, genFormula(t, r, 1), x)
			require.True(t, ok, name)
			return s
		}
		a, b := solve("a"), solve("b")
		union, both, less := a.Union(b), a.Intersect(b), a.Minus(b)
		for k := int64(-50); k <= 50; k++ {
			v := number.Frac(k, 6)
			require.Equal(t, a.Contains(v) || b.Contains(v), union.Contains(v))
			require.Equal(t, a.Contains(v) && b.Contains(v), both.Contains(v))
			require.Equal(t, a.Contains(v) && !b.Contains(v), less.Contains(v))
		}
		require.True(t, a.Complement().Complement().Equal(a))
		require.True(t, union.Complement().Equal(a.Complement().Intersect(b.Complement())))
		require.True(t, both.Union(less).Equal(a))
		require.True(t, both.Subset(a) && a.Subset(union))
		require.Equal(t, a.Subset(b), less.IsEmpty())
		i, j := a.Integers(), b.Integers()
		require.True(t, union.Integers().Equal(i.Union(j)))
		require.True(t, both.Integers().Equal(i.Intersect(j)))
		require.True(t, less.Integers().Equal(i.Minus(j)))
	})
}

func TestText(t *testing.T) {
	for _, row := range []struct {
		coefs []int64 // from the constant term up
		rel   poly.Rel
		text  string
		as    string
		whole string
	}{
		{[]int64{3, -4, 1}, poly.Ge, "x <= 1 or x >= 3", "(-∞, 1] ∪ [3, ∞)", "x <= 1 or x >= 3"},
		{[]int64{-3, -4, 4}, poly.Lt, "-1/2 < x < 3/2", "(-1/2, 3/2)", "0 <= x <= 1"},
		{[]int64{1, 2, 1}, poly.Gt, "x != -1", "(-∞, -1) ∪ (-1, ∞)", "x <= -2 or x >= 0"},
		{[]int64{1, 2, 1}, poly.Le, "x = -1", "{-1}", "x = -1"},
		{[]int64{1, 0, 1}, poly.Lt, "none", "∅", "none"},
		{[]int64{1, 0, 1}, poly.Gt, "x is any real number", "(-∞, ∞)", "x is any integer"},
		{[]int64{-1, -2, 1}, poly.Eq, "x = 1 - sqrt(2) or x = 1 + sqrt(2)", "{1 - sqrt(2), 1 + sqrt(2)}", "none"},
		{[]int64{-2, 0, 0, 1}, poly.Gt, "x > (root of x^3 - 2 between 5/4 and 81/64)", "((root of x^3 - 2 between 5/4 and 81/64), ∞)", "x >= 2"},
		{[]int64{1, 0, -10, 0, 1}, poly.Le, "-sqrt(2) - sqrt(3) <= x <= sqrt(2) - sqrt(3) or -sqrt(2) + sqrt(3) <= x <= sqrt(2) + sqrt(3)",
			"[-sqrt(2) - sqrt(3), sqrt(2) - sqrt(3)] ∪ [-sqrt(2) + sqrt(3), sqrt(2) + sqrt(3)]", "-3 <= x <= -1 or 1 <= x <= 3"},
		{[]int64{0, 4, 0, -5, 0, 1}, poly.Le, "x <= -2 or -1 <= x <= 0 or 1 <= x <= 2", "(-∞, -2] ∪ [-1, 0] ∪ [1, 2]", "x <= 2"},
		{[]int64{0, 0, 4, -4, 1}, poly.Le, "x = 0 or x = 2", "{0, 2}", "x = 0 or x = 2"},
	} {
		s, ok := onevar.SolveCondition(uni.Ints(row.coefs...), row.rel, ring().Meter())
		require.True(t, ok)
		require.Equal(t, row.text, s.Text("x"))
		require.Equal(t, row.as, s.Notation())
		require.Equal(t, row.whole, s.Integers().Text("x"))
	}
}

// The integers of a condition, with and without the way for degree 2.
func TestIntegersWhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.SliceOfN(rapid.Int64Range(-40, 40), 1, 4).Draw(t, "coefficients")
		c[0] <<= rapid.SampledFrom([]uint{0, 0, 4, 24, 26, 30, 56}).Draw(t, "shift") // around the end of machine words
		f := uni.Ints(c...)
		rel := rapid.SampledFrom(rels).Draw(t, "rel")
		m := ring().Meter()
		runs, ok := onevar.IntegersWhere(f, rel, m)
		require.True(t, ok)
		for k := int64(-100); k <= 100; k++ {
			require.Equal(t, rel.Holds(f.SignAt(number.Int(k))), runs.Contains(big.NewInt(k)), "%s %s 0 at %d", f, rel, k)
		}
		s, ok := onevar.SolveCondition(f, rel, m)
		require.True(t, ok)
		require.True(t, s.Integers().Equal(runs))
	})
}

func TestRuns(t *testing.T) {
	big5 := big.NewInt(5)
	r := onevar.Normal([]onevar.Run{{Lo: big5, Hi: big.NewInt(7)}, {Lo: big.NewInt(1), Hi: big.NewInt(4)}, {Lo: big.NewInt(9), Hi: big.NewInt(8)}, {Lo: big.NewInt(11), Hi: big.NewInt(11)}})
	require.Equal(t, "1 <= x <= 7 or x = 11", r.Text("x"))
	require.True(t, r.IsFinite())
	require.Equal(t, "8", r.Len().String())
	rest := r.Complement()
	require.Equal(t, "x <= 0 or 8 <= x <= 10 or x >= 12", rest.Text("x"))
	require.False(t, rest.IsFinite())
	require.Nil(t, rest.Len())
	require.Equal(t, "none", r.Intersect(rest).Text("x"))
	require.Equal(t, "x is any integer", r.Union(rest).Text("x"))
}

func TestRoots(t *testing.T) {
	m := ring().Meter()
	list, err := onevar.Roots(uni.Ints(0, -2, 0, 1), m)
	require.NoError(t, err)
	var texts []string
	for _, v := range list {
		s := v.String()
		texts = append(texts, s)
	}
	require.Len(t, texts, 3)
	require.Equal(t, "0", texts[1])
	_, err = onevar.Roots(nil, m)
	require.ErrorIs(t, err, uni.ErrZero)
}
