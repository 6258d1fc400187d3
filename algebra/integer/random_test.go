package integer_test

import (
	"fmt"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"squaremark/algebra/budget"
	"squaremark/algebra/decide/onevar"
	"squaremark/algebra/formula"
	"squaremark/algebra/integer"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

var signs = []string{"=", "<=", "<", ">=", ">", "!="}

// genQuadratic writes a condition of degree 2 with small coefficients.
func genQuadratic(t *rapid.T, names []string, rels []string) string {
	var b strings.Builder
	term := func(c int64, m string) {
		if c != 0 {
			fmt.Fprintf(&b, " + (%d)*%s", c, m)
		}
	}
	small := rapid.Int64Range(-3, 3)
	for i, x := range names {
		term(small.Draw(t, "square"), x+"^2")
		term(small.Draw(t, "linear"), x)
		for _, y := range names[:i] {
			term(small.Draw(t, "product"), x+"*"+y)
		}
	}
	den := rapid.Int64Range(1, 3).Draw(t, "denominator")
	fmt.Fprintf(&b, " + (%d)/%d", rapid.Int64Range(-12, 12).Draw(t, "constant"), den)
	for _, x := range names {
		b.WriteString(" + 0*" + x)
	}
	return "0" + b.String() + " " + rapid.SampledFrom(rels).Draw(t, "sign") + " 0"
}

// agrees compares a set with evaluation on a box.
func agrees(t require.TestingT, names []string, text string, reach int64) string {
	return agreesOn(t, strings.Join(names, ","), text, reach)
}

func agreesOn(t require.TestingT, names, text string, reach int64) string {
	scope, f, unknowns, m := question(t, names, text, 100*budget.Default().Work)
	s, err := integer.Solve(scope, f, unknowns, m.Part(3*budget.Default().Work))
	if err != nil {
		return "unsettled"
	}
	if s.Finite {
		require.NoError(t, s.Recheck(reach), "%s: %s", text, said(s, nil))
		return "finite"
	}
	require.NotEmpty(t, s.Text, text)
	reads(t, names, text, s, reach)
	return "infinite"
}

// reads demands that the text of an infinite set, read as a formula, holds
// for the same tuples of a box as the question.
func reads(t require.TestingT, names, text string, s *integer.Set, reach int64) {
	if strings.Contains(s.Text, "for integers") || strings.Contains(s.Text, "any integer") {
		return
	}
	padding := ""
	for _, x := range s.Unknowns {
		padding += "0*" + x + " + "
	}
	scope, f, unknowns, _ := question(t, names, "("+s.Text+") and "+padding+"0 = 0", 1000*budget.Default().Work)
	point := make([]number.Num, scope.Ring.Len())
	for _, tuple := range tuples(len(unknowns), reach) {
		for i, v := range unknowns {
			point[v] = number.FromBigInt(tuple[i])
		}
		want, ok := s.Contains(tuple)
		require.True(t, ok)
		require.Equal(t, want, holds(scope.Ring, f, point), "%q does not describe %s at %s", s.Text, text, integer.TupleText(tuple))
	}
}

// tuples lists a box around 0.
func tuples(n int, reach int64) [][]*big.Int {
	list := [][]*big.Int{nil}
	for range n {
		var next [][]*big.Int
		for _, t := range list {
			for k := -reach; k <= reach; k++ {
				next = append(next, append(t[:len(t):len(t)], big.NewInt(k)))
			}
		}
		list = next
	}
	return list
}

func holds(r *poly.Ring, f *formula.Formula, at []number.Num) bool {
	switch f.Op {
	case formula.True, formula.False:
		return f.Op == formula.True
	case formula.Is:
		return f.Cond.Rel.Holds(r.EvalAll(f.Cond.P, at).Sign())
	}
	for _, k := range f.Kids {
		if holds(r, k, at) != (f.Op == formula.All) {
			return f.Op == formula.Any
		}
	}
	return f.Op == formula.All
}

func TestOneUnknownAgreesWithEvaluation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := genQuadratic(t, []string{"x"}, signs)
		for range rapid.IntRange(0, 2).Draw(t, "more") {
			text += rapid.SampledFrom([]string{" and ", " or "}).Draw(t, "join") + genQuadratic(t, []string{"x"}, signs)
		}
		scope, f, unknowns, m := question(t, "x", text, 100*budget.Default().Work)
		s, err := integer.Solve(scope, f, unknowns, m)
		require.NoError(t, err)
		for k := int64(-40); k <= 40; k++ {
			at := []*big.Int{big.NewInt(k)}
			holds := s.Runs.Contains(at[0])
			if s.Finite {
				member, _ := s.Contains(at)
				require.Equal(t, holds, member)
			} else {
				member, ok := s.Contains(at)
				require.True(t, ok)
				require.Equal(t, member, holds, "%s at %d", text, k)
			}
		}
		if s.Finite {
			require.NoError(t, s.Recheck(20))
		}
	})
}

func TestQuadraticsAgreeWithEvaluation(t *testing.T) {
	kinds := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		names := []string{"x", "y", "z"}[:rapid.IntRange(2, 3).Draw(t, "unknowns")]
		text := genQuadratic(t, names, signs)
		for range rapid.IntRange(0, 2).Draw(t, "more") {
			text += " and " + genQuadratic(t, names, signs)
		}
		reach := int64(12)
		if len(names) == 3 {
			reach = 5
		}
		kinds[agrees(t, names, text, reach)]++
	})
	t.Log(kinds)
	require.NotZero(t, kinds["finite"])
	require.NotZero(t, kinds["infinite"])
}

// Positive-definite forms by construction: sums of squares of independent
// linear forms, equal to, at most or less than a bound.
func TestDefiniteQuadratics(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		names := []string{"x", "y", "z"}[:rapid.IntRange(2, 3).Draw(t, "unknowns")]
		small := rapid.Int64Range(-2, 2)
		var parts []string
		for i, x := range names {
			form := x
			for _, y := range names[i+1:] {
				form += fmt.Sprintf(" + (%d)/%d*%s", small.Draw(t, "c"), rapid.Int64Range(1, 2).Draw(t, "d"), y)
			}
			form += fmt.Sprintf(" + (%d)/%d", small.Draw(t, "shift"), rapid.Int64Range(1, 3).Draw(t, "d"))
			parts = append(parts, fmt.Sprintf("%d*(%s)^2", rapid.Int64Range(1, 3).Draw(t, "weight"), form))
		}
		text := strings.Join(parts, " + ") + " " + rapid.SampledFrom([]string{"=", "<=", "<"}).Draw(t, "sign") +
			fmt.Sprintf(" %d", rapid.Int64Range(-2, 14).Draw(t, "bound"))
		require.Equal(t, "finite", agrees(t, names, text, 3), text)
	})
}

// Equations that factor: (a x + b y + c)(d x + e y + f) = k.
func TestProductsAgreeWithEvaluation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := func() int64 { return rapid.Int64Range(-3, 3).Draw(t, "c") }
		text := fmt.Sprintf("0*x + 0*y + ((%d)*x + (%d)*y + (%d))*((%d)*x + (%d)*y + (%d)) = %d", c(), c(), c(), c(), c(), c(), rapid.Int64Range(-30, 30).Draw(t, "k"))
		agrees(t, []string{"x", "y"}, text, 12)
	})
}

func TestRunsOfAnInfiniteSetAreItsText(t *testing.T) {
	s, err := solve(t, "n", "n^2 >= 10 and n != 7")
	require.NoError(t, err)
	require.Equal(t, onevar.Runs{{Hi: big.NewInt(-4)}, {Lo: big.NewInt(4), Hi: big.NewInt(6)}, {Lo: big.NewInt(8)}}, s.Runs)
	require.Equal(t, "n <= -4 or 4 <= n <= 6 or n >= 8", s.Text)
}
