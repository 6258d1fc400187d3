package onevar_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"squaremark/algebra/budget"
	"squaremark/algebra/decide/onevar"
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/syntax"
)

func lower(t require.TestingT, text string) (*formula.Scope, *formula.Formula) {
	l := budget.Default()
	l.Work *= 50
	m := budget.New(l)
	reading, diag := syntax.Read(text, m)
	require.Nil(t, diag, text)
	scope, err := formula.NewScope([]formula.Variable{{Name: "x"}}, m, reading.Root)
	require.NoError(t, err, text)
	st, err := scope.Formula(reading.Root)
	require.NoError(t, err, text)
	return scope, st.Body
}

func TestSolve(t *testing.T) {
	data, err := os.ReadFile("testdata/real.txt")
	require.NoError(t, err)
	for _, line := range strings.Split(strings.TrimSpace(string(data)), "\n") {
		if strings.HasPrefix(line, "#") {
			continue
		}
		text, want, ok := strings.Cut(line, " :: ")
		require.True(t, ok, line)
		scope, f := lower(t, text)
		s, ok := onevar.Solve(scope, f, 0)
		require.True(t, ok, text)
		require.Equal(t, want, s.Notation(), text)
	}
}

func TestSolveDeclines(t *testing.T) {
	for _, text := range []string{
		"sqrt(x) + x^(1/4) = 2", // a root of order 4 that stands for itself
	} {
		scope, f := lower(t, text)
		_, ok := onevar.Solve(scope, f, 0)
		require.False(t, ok, text)
	}
}

// evaluate is the truth of f at x with the roots put in; known is false when
// a root has no value as a sum of square roots.
func evaluate(s *formula.Scope, f *formula.Formula, x number.Num) (holds, known bool) {
	values := make([]number.Num, s.Ring.Len())
	values[0] = x
	have := map[int]bool{0: true}
	var eval func(f *formula.Formula) (bool, bool)
	eval = func(f *formula.Formula) (bool, bool) {
		switch f.Op {
		case formula.True, formula.False:
			return f.Op == formula.True, true
		case formula.Is:
			for _, v := range s.Ring.Vars(f.Cond.P) {
				if !have[v] {
					return false, false
				}
			}
			return f.Cond.Rel.Holds(s.Ring.EvalAll(f.Cond.P, values).Sign()), true
		}
		for _, k := range f.Kids {
			holds, known := eval(k)
			if !known {
				return false, false
			}
			if holds != (f.Op == formula.All) {
				return holds, true
			}
		}
		return f.Op == formula.All, true
	}
	for _, y := range s.Symbols {
		ready := true
		for _, p := range s.Ring.Vars(y.Of.Num) {
			ready = ready && have[p]
		}
		for _, p := range s.Ring.Vars(y.Of.Den) {
			ready = ready && have[p]
		}
		if !ready {
			continue
		}
		of, ok := s.Ring.EvalAll(y.Of.Num, values).Div(s.Ring.EvalAll(y.Of.Den, values))
		if !ok {
			continue
		}
		if root, ok := formula.RootOfNumber(of, y.Power); ok {
			values[y.Var], have[y.Var] = root, true
		}
	}
	return eval(f)
}

// Sets of formulas with roots and moduli agree with evaluation at fractions.
func TestRootsAgreeWithEvaluation(t *testing.T) {
	seen := 0
	rapid.Check(t, func(t *rapid.T) {
		linear := func() string {
			return fmt.Sprintf("((%d)*x + (%d))", rapid.Int64Range(-3, 3).Draw(t, "a"), rapid.Int64Range(-4, 4).Draw(t, "b"))
		}
		var side func(depth int) string
		side = func(depth int) string {
			switch k := rapid.IntRange(0, 6).Draw(t, "kind"); {
			case k == 0 && depth > 0:
				return "|" + side(depth-1) + "|"
			case k <= 2 && depth > 0:
				return "sqrt(" + side(depth-1) + ")"
			case k == 3 && depth > 0:
				return "(" + side(depth-1) + " - " + side(depth-1) + ")"
			case k == 4 && depth > 0:
				return "1/" + linear()
			}
			return linear()
		}
		sign := rapid.SampledFrom([]string{"=", "!=", "<", "<=", ">", ">="}).Draw(t, "sign")
		text := "0*x + " + side(2) + " " + sign + " " + side(1)
		l := budget.Default()
		l.Work *= 50
		m := budget.New(l)
		reading, diag := syntax.Read(text, m)
		require.Nil(t, diag, text)
		scope, err := formula.NewScope([]formula.Variable{{Name: "x"}}, m, reading.Root)
		require.NoError(t, err)
		st, err := scope.Formula(reading.Root)
		if err != nil {
			return // 1/0, the root of a negative number
		}
		s, ok := onevar.Solve(scope, st.Body, 0)
		require.True(t, ok, text)
		for k := int64(-20); k <= 20; k++ {
			x := number.Frac(k, 2)
			if want, known := evaluate(scope, st.Body, x); known {
				seen++
				require.Equal(t, want, s.Contains(x), "%s at %s: %s", text, x, s.Notation())
			}
		}
	})
	require.NotZero(t, seen)
}
