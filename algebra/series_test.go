package algebra_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"squaremark/algebra"
	"squaremark/algebra/budget"
	"squaremark/algebra/decide/quadratic"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

func families(names ...string) []algebra.Declared {
	list := []algebra.Declared{{Name: "n", Range: "positive integer"}}
	for _, n := range names {
		list = append(list, algebra.Declared{Name: n, Range: "real"})
	}
	return list
}

// TestCyclicQuadraticForms asks random forms round a cycle and compares with
// the forms in 3 to 6 variables, whose matrices are decided exactly.
func TestCyclicQuadraticForms(t *testing.T) {
	q, bad := algebra.NewQuestion(families("a_i"), []string{"a_{n+1} = a_1"}, budget.Default())
	require.Nil(t, bad)
	settled, asked := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.Int64Range(-1, 6).Draw(t, "p")
		c := rapid.Int64Range(-6, 6).Draw(t, "q")
		r := rapid.Int64Range(-3, 3).Draw(t, "r")
		out := q.Truth(fmt.Sprintf("sum(i=1..n, (%d)*a_i^2 + (%d)*a_i*a_{i+1} + (%d)*a_i*a_{i+2}) >= 0", p, c, r))
		asked++
		if out.Verdict != algebra.Unsettled {
			settled++
		}
		for n := 3; n <= 6; n++ {
			ring := poly.NewRing([]string{"a", "b", "c", "d", "e", "f"}[:n], budget.New(budget.Default()))
			form := poly.Poly{}
			for i := range n {
				a, b, d := ring.Var(i), ring.Var((i+1)%n), ring.Var((i+2)%n)
				form = ring.Sum(form, ring.Scale(ring.Mul(a, a), number.Int(p)), ring.Scale(ring.Mul(a, b), number.Int(c)), ring.Scale(ring.Mul(a, d), number.Int(r)))
			}
			least, ok := quadratic.LeastValue(ring, form)
			if !ok {
				t.Fatalf("the form in %d variables was not decided", n)
			}
			if out.Verdict == algebra.Holds && !least.Bounded {
				t.Fatalf("holds, but not for %d members", n)
			}
		}
		if out.Verdict == algebra.Fails && (out.Witness == nil || len(out.Witness.Point) < 2 || out.Witness.Point[0].Name != "n") {
			t.Fatalf("no witness: %+v", out.Witness)
		}
	})
	t.Logf("%d of %d settled", settled, asked)
	assert.Greater(t, settled*10, asked*7)
}

// TestHoldsForEachNumberOfTerms asks random statements put together from
// parts, for every n and then for single n as ordinary questions.
func TestHoldsForEachNumberOfTerms(t *testing.T) {
	parts := []string{
		"sum(i=1..n, a_i^2)", "sum(i=1..n, a_i*a_{i+1})", "sum(i=1..n-1, a_i*a_{i+1})", "sum(i=2..n, a_i^2)",
		"sum(i=1..n, a_{i+1}^2)", "a_1^2", "a_n^2", "n", "n^2", "1", "sum(i=1..n, a_i)", "sum(i=1..n, a_i)^2", "n*sum(i=1..n, a_i^2)",
		"sum(i=1..n, i*a_i)", "sum(i=1..n, i)", "sum(i=0..n, a_i)", "sum(i=1..n, a_{i+1} - a_i)", "sum(i=2..n-1, a_i)", "a_{n+1}", "sum(i=3..n, i^2)", "sum(i=1..n, |a_i|)",
		"sum(i=1..n, a_i*a_{i-1})", "sum(i=1..n, (a_i - a_{i+1})^2)", "sum(i=1..n, sum(j=1..n, (a_i - a_j)^2))", "sum(i=1..n, 1/(a_i^2 + 1))", "sum(i=1..n, a_i^4)",
	}
	givens := [][]string{nil, {"a_i > 0"}, {"a_{n+1} = a_1"}, {"a_{n+1} = a_1", "a_i >= 0"}, {"a_i >= a_{i+1}"}, {"n >= 2"}, {"sum(i=1..n, a_i) = 1"}, {"a_1 = 0"}, {"a_1 = a_n"}, {"a_i >= a_{i+1}", "a_{n+1} = a_1"}}
	holds := 0
	rapid.Check(t, func(t *rapid.T) {
		given := rapid.SampledFrom(givens).Draw(t, "given")
		text := func(label string) string {
			var s []string
			for range rapid.IntRange(1, 2).Draw(t, label+" parts") {
				s = append(s, fmt.Sprintf("(%d)*%s", rapid.SampledFrom([]int{1, 1, 1, 2, -1}).Draw(t, label+" by"), rapid.SampledFrom(parts).Draw(t, label)))
			}
			return strings.Join(s, " + ")
		}
		statement := text("left") + rapid.SampledFrom([]string{" >= ", " > ", " = "}).Draw(t, "relation") + text("right")
		q, bad := algebra.NewQuestion(families("a_i"), given, budget.Default())
		if bad != nil {
			t.Fatal(bad)
		}
		out := q.Truth(statement)
		if out.Unreadable != nil {
			t.Fatalf("%s: %v", statement, out.Unreadable)
		}
		if out.Verdict != algebra.Holds {
			return
		}
		holds++
		for n := 1; n <= 5; n++ {
			fixed, bad := algebra.NewQuestion(families("a_i"), append([]string{fmt.Sprintf("n = %d", n)}, given...), budget.Default())
			if bad != nil {
				t.Fatal(bad)
			}
			if out := fixed.Truth(statement); out.Verdict == algebra.Fails {
				t.Fatalf("%s under %v holds, but not for n = %d: %v", statement, given, n, out.Witness)
			}
		}
	})
	t.Logf("%d hold", holds)
}
