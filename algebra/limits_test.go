package algebra_test

import (
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
