package algebra_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/algebra"
	"squaremark/algebra/budget"
)

// What is made after a limit was met means nothing: a product of degree 200
// is no zero, and no verdict may come out of it.
func TestNoVerdictBeyondTheLimits(t *testing.T) {
	const tooHigh = "x^100*x^100" // each factor is within the limit on degree
	ask := func(given ...string) *algebra.Question {
		q, bad := algebra.NewQuestion([]algebra.Declared{{Name: "x", Range: "integer"}}, given, budget.Default())
		require.Nil(t, bad)
		return q
	}
	for _, statement := range []string{
		tooHigh + " = 0", tooHigh + " <= 0", tooHigh + " < 0", tooHigh + " >= 1 or x^2 >= 5", "not " + tooHigh + " = 0",
		"1/(" + tooHigh + ") > 0", "sqrt(" + tooHigh + ") >= 0", "x/(x - x^100*x^100*x) = 1", "|" + tooHigh + "| = 0",
		"123456789^140*123456789^140 = 0",
	} {
		out := ask().Truth(statement)
		assert.Nil(t, out.Unreadable, statement)
		assert.Equal(t, algebra.Unsettled, out.Verdict, statement)
		assert.Contains(t, out.Reason, "limit", statement)
	}
	assert.Equal(t, algebra.Unsettled, ask(tooHigh+" < -1").Truth("x < 0").Verdict)
	assert.Equal(t, algebra.Unsettled, ask().Identity(tooHigh, "0").Verdict)
	assert.Equal(t, algebra.Unsettled, ask().Identity("(x + 1)^128*x - x", "(x + 1)^128*x").Verdict)
	assert.Equal(t, algebra.RelationUnsettled, ask().Relation(tooHigh+" = 1", "x = 1").Relation)
	assert.Equal(t, algebra.Unsettled, ask().SquareForm(tooHigh, "x^2").Verdict)
	answer := "0"
	assert.Equal(t, algebra.Unsettled, ask().Integers([]string{tooHigh + " = 0"}, []string{"x"}, &answer).Verdict)
	steps := ask().Steps(tooHigh+" = 0", []algebra.Line{{Text: "x = x"}}, algebra.StartClaim)
	assert.False(t, steps.Correct)
}

// The meter may run out in any operation: whatever the work allowed, every
// question gets an outcome, and never a wrong one.
func TestEveryAmountOfWork(t *testing.T) {
	rows := []struct{ statement, wrong string }{
		{"|x - 1| + |x - 2| + |x - 3| >= 2", "fails"},
		{"sqrt(sqrt(sqrt(x))) >= 0", "fails"},
		{"sqrt(x^2 + 1) + sqrt(y^2 + 1) > |x + y|/2", "fails"},
		{"x/(y^2 + 1) + y/(x^2 + 1) <= 1/2", "holds"},
		{"(x^2 + y^2)(x^2 + 2) = (x^2 + x*y + 1)^2", "holds"},
		{"x^4 + y^4 + 2 >= 4x*y", "fails"},
	}
	for _, row := range rows {
		for work := int64(1); work < 2_000_000; work += work/6 + 1 {
			limits := budget.Default()
			limits.Work = work
			q, bad := algebra.NewQuestion([]algebra.Declared{{Name: "x"}, {Name: "y"}}, nil, limits)
			require.Nil(t, bad)
			assert.NotEqual(t, row.wrong, q.Truth(row.statement).Verdict.String(), "%s with work %d", row.statement, work)
		}
	}
}

// Proofs by the cases of moduli grow as the square of their number: twelve
// are settled within the default work, and with too many the work ends it.
func TestManyModuli(t *testing.T) {
	sum := func(n int) string {
		text := "|x - 1|"
		for i := 2; i <= n; i++ {
			text += fmt.Sprintf(" + |x - %d|", i)
		}
		return text
	}
	q, bad := algebra.NewQuestion([]algebra.Declared{{Name: "x"}}, nil, budget.Default())
	require.Nil(t, bad)
	// The least value of the sum is at a middle place: (11 + 9 + 7 + 5 + 3 + 1).
	assert.Equal(t, algebra.Holds, q.Truth(sum(12)+" >= 36").Verdict)
	assert.Equal(t, algebra.Fails, q.Truth(sum(12)+" > 36").Verdict)
	assert.NotEqual(t, algebra.Fails, q.Truth(sum(25)+" > 0").Verdict)
}

// A listing that the work does not allow is given up for that reason.
func TestTooLongListings(t *testing.T) {
	vars := []algebra.Declared{}
	for _, name := range []string{"a", "b", "c", "d", "e", "f"} {
		vars = append(vars, algebra.Declared{Name: name, Range: "integer"})
	}
	for solve, unknowns := range map[string][]string{
		"a^2 + b^2 + c^2 + d^2 + e^2 + f^2 = 20": {"a", "b", "c", "d", "e", "f"},
		"|a| + |b| + |c| <= 60":                  {"a", "b", "c"},
		"a^2 + b^2 <= 1000000":                   {"a", "b"},
	} {
		q, bad := algebra.NewQuestion(vars[:len(unknowns)], nil, budget.Default())
		require.Nil(t, bad)
		out := q.Integers([]string{solve}, unknowns, nil)
		assert.Empty(t, out.Solutions, solve)
		assert.Regexp(t, "limit on work|more solutions than the 20000", out.Reason, solve)
	}
}
