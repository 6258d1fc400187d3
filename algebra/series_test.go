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
		"sum(i=1..n, sum(j=1..i, a_i*a_j))", "sum(i=1..n-1, sum(j=i+1..n, a_i*a_j))", "sum(i=1..n, sum(j=1..i-1, a_j))", "sum(i=2..n, sum(j=1..i-1, (a_i - a_j)^2))",
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

// TestRelationsOfSums asks which of two lines with sums implies the other.
func TestRelationsOfSums(t *testing.T) {
	for _, row := range []struct {
		given       []string
		left, right string
		want        algebra.Relation
	}{
		{[]string{"a_{n+1} = a_1"}, "sum(i=1..n, (a_i - a_{i+1})^2) >= 0", "2sum(i=1..n, a_i^2) - 2sum(i=1..n, a_i*a_{i+1}) >= 0", algebra.Equivalent},
		{[]string{"a_{n+1} = a_1"}, "sum(i=1..n, a_i^2) >= sum(i=1..n, a_i*a_{i+1})", "sum(i=1..n, a_i^2) > sum(i=1..n, a_i*a_{i+1})", algebra.BackwardOnly},
		{nil, "sum(i=1..n, a_i^2) = 0", "sum(i=1..n, a_i) = 0", algebra.ForwardOnly},
		{nil, "sum(i=1..n, a_i^2) = 0", "a_1 = 0", algebra.ForwardOnly},
		{nil, "sum(i=1..n, a_i) >= n", "sum(i=1..n, a_i^2) >= n", algebra.ForwardOnly},
		{nil, "sum(i=1..n, a_i) > 0", "sum(i=1..n, 1/a_i^2) > 0", algebra.Neither}, // false where a member is 0
		{nil, "sum(i=1..n, a_i) = n", "sum(i=1..n, a_i - 1) = 0", algebra.Equivalent},
		{nil, "sum(i=1..n, a_i) = n", "sum(i=1..n-1, a_i - 1) = 0", algebra.Neither},
	} {
		q, bad := algebra.NewQuestion(families("a_i"), row.given, budget.Default())
		require.Nil(t, bad)
		out := q.Relation(row.left, row.right)
		assert.Equal(t, row.want, out.Relation, "%s, %s: %+v", row.left, row.right, out)
	}
}

// TestIdentityOfSums compares two expressions; a witness names n, the members
// and the values of both sides.
func TestIdentityOfSums(t *testing.T) {
	q, bad := algebra.NewQuestion(families("a_i"), []string{"n >= 2"}, budget.Default())
	require.Nil(t, bad)
	assert.Equal(t, algebra.Holds, q.Identity("sum(i=1..n, (a_i - 1)^2)", "sum(i=1..n, a_i^2) - 2sum(i=1..n, a_i) + n").Verdict)
	out := q.Identity("sum(i=1..n, a_i)", "sum(i=2..n, a_i) + a_n")
	require.Equal(t, algebra.Fails, out.Verdict)
	assert.Equal(t, "n", out.Witness.Point[0].Name)
	assert.Equal(t, "2", out.Witness.Point[0].Value)
	assert.NotEqual(t, out.Witness.Left, out.Witness.Right)
	assert.Equal(t, "point", out.Evidence.Kind)
}

// TestProofsOfSums looks at what a proof says.
func TestProofsOfSums(t *testing.T) {
	q, bad := algebra.NewQuestion(families("a_i"), []string{"a_{n+1} = a_1"}, budget.Default())
	require.Nil(t, bad)
	out := q.Truth("sum(i=1..n, a_i^2) >= sum(i=1..n, a_i*a_{i+1})")
	require.Equal(t, algebra.Holds, out.Verdict)
	assert.Equal(t, "series", out.Evidence.Kind)
	assert.Contains(t, out.Evidence.Text, "every n")
	steps := strings.Join(out.Evidence.Steps, "\n")
	assert.Contains(t, steps, "S_1 = sum(i=1..n, a_i^2)")
	assert.Contains(t, steps, "1/2*(a_i - a_{i + 1})^2")
	assert.NotEmpty(t, out.Evidence.Data)
}

// TestOpenQuestionsOfSums lists what stays unsettled, each with a reason, and
// texts with a mistake.
func TestOpenQuestionsOfSums(t *testing.T) {
	vars := append(families("a_i", "b_i"), algebra.Declared{Name: "m", Range: "positive integer"}, algebra.Declared{Name: "k", Range: "integer"})
	ask := func(given []string, statement string) algebra.Outcome {
		q, bad := algebra.NewQuestion(vars, given, budget.Default())
		require.Nil(t, bad)
		return q.Truth(statement)
	}
	for _, row := range []struct {
		given     []string
		statement string
	}{
		{nil, "sum(i=1..m, a_i^2) + sum(i=1..n, a_i^2) >= 0"},
		{nil, "sum(i=1..k, i) = k(k + 1)/2"}, // k may be negative
		{nil, "sum(i=1..n, a_{2i}^2) >= 0"},
		{nil, "a_i^2 >= 0"},
		{[]string{"a_{n+1} = a_1"}, "sum(i=1..n, b_{i+1} - b_i) = 0"},
		{[]string{"a_{n+1} = a_1", "a_i >= a_{i+1}"}, "a_1 >= a_n"}, // is a_n >= a_1 assumed?
	} {
		out := ask(row.given, row.statement)
		assert.Equal(t, algebra.Unsettled, out.Verdict, row.statement)
		assert.NotEmpty(t, out.Reason, row.statement)
		assert.Nil(t, out.Unreadable, row.statement)
	}
	for _, statement := range []string{"sum(i=1..n, c_i) >= 0", "sum(i=1..n, a_i) >= z", "a_1 + a_3 + ... + a_n^2 > 0"} {
		out := ask(nil, statement)
		require.NotNil(t, out.Unreadable, statement)
		assert.Equal(t, "statement", out.Unreadable.Field)
		assert.Equal(t, algebra.Unsettled, out.Verdict)
	}
	undeclared, bad := algebra.NewQuestion([]algebra.Declared{{Name: "a_i", Range: "real"}}, nil, budget.Default())
	require.Nil(t, bad)
	out := undeclared.Truth("sum(i=1..n, a_i^2) >= 0")
	require.NotNil(t, out.Unreadable, "the number of terms is declared like every variable")
	assert.Equal(t, "unknown-variable", out.Unreadable.Diag.Code)
}

func BenchmarkSums(b *testing.B) {
	for _, row := range []struct{ name, given, statement string }{
		{"round", "a_{n+1} = a_1", "sum(i=1..n, a_i^2) >= sum(i=1..n, a_i*a_{i+1})"},
		{"pairs", "n >= 1", "n*sum(i=1..n, a_i^2) >= sum(i=1..n, a_i)^2"},
		{"roots", "n >= 1", "sqrt(n*sum(i=1..n, a_i^2)) >= sum(i=1..n, a_i)"},
		{"induction", "n >= 1", "sum(i=1..n, 1/i^2) <= 2 - 1/n"},
		{"fails", "n >= 1", "sum(i=1..n, a_i^2) >= sum(i=1..n, a_i)"},
		{"open", "a_i > 0", "sum(i=1..n, a_i)^4 >= sum(i=1..n, a_i^4)"},
	} {
		q, bad := algebra.NewQuestion(families("a_i"), []string{row.given}, budget.Default())
		require.Nil(b, bad)
		b.Run(row.name, func(b *testing.B) {
			for b.Loop() {
				q.Truth(row.statement)
			}
		})
	}
}
