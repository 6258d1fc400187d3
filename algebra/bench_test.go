package algebra_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"squaremark/algebra"
	"squaremark/algebra/budget"
)

func reals(b *testing.B, limits budget.Limits, names ...string) *algebra.Question {
	var vars []algebra.Declared
	for _, n := range names {
		vars = append(vars, algebra.Declared{Name: n, Range: "real"})
	}
	q, bad := algebra.NewQuestion(vars, nil, limits)
	require.Nil(b, bad)
	return q
}

func holds(b *testing.B, ask func() algebra.Outcome) {
	b.Helper()
	require.Equal(b, algebra.Holds, ask().Verdict)
	b.ReportAllocs()
	for b.Loop() {
		ask()
	}
}

// Identity in four variables, degree six, reading included.
func BenchmarkIdentity(b *testing.B) {
	q := reals(b, budget.Default(), "a", "b", "c", "d")
	holds(b, func() algebra.Outcome {
		return q.Identity("(a^2 + b^2)(c^2 + d^2)(a - d)^2", "((a*c - b*d)^2 + (a*d + b*c)^2)(a^2 - 2a*d + d^2)")
	})
}

// Truth of one inequality in one variable, by degree.
func BenchmarkOneVariable(b *testing.B) {
	for degree, text := range map[int]string{
		2: "x^2 - 6x + 10 > 0",
		4: "x^4 - 4x^3 + 7x^2 - 6x + 3 > 0",
		6: "x^6 - x^5 + x^4 - x^3 + x^2 - x + 3/4 > 0",
		8: "x^8 - x^5 + x^2 - x + 1 > 0",
	} {
		b.Run(fmt.Sprintf("degree%d", degree), func(b *testing.B) {
			q := reals(b, budget.Default(), "x")
			holds(b, func() algebra.Outcome { return q.Truth(text) })
		})
	}
}

// Sum of (x_i - x_{i+1})² ≥ 0 multiplied out, by number of variables.
func BenchmarkQuadraticForm(b *testing.B) {
	for _, n := range []int{2, 4, 8, 16, 32, 64} {
		b.Run(fmt.Sprintf("variables%d", n), func(b *testing.B) {
			var names []string
			var text strings.Builder
			for i := range n {
				names = append(names, fmt.Sprintf("x_%d", i+1))
				fmt.Fprintf(&text, " + 2x_%d^2 - 2x_%d x_%d", i+1, i+1, (i+1)%n+1)
			}
			limits := budget.Default()
			limits.Work *= 4
			q := reals(b, limits, names...)
			holds(b, func() algebra.Outcome { return q.Truth(text.String()[3:] + " >= 0") })
		})
	}
}

// The relation of two lines of a chain.
func BenchmarkRelation(b *testing.B) {
	q := reals(b, budget.Default(), "x", "y")
	require.Equal(b, algebra.Equivalent, q.Relation("x^2 + 9y^2 >= 6x*y", "(x - 3y)^2 >= 0").Relation)
	b.ReportAllocs()
	for b.Loop() {
		q.Relation("x^2 + 9y^2 >= 6x*y", "(x - 3y)^2 >= 0")
	}
}

func BenchmarkSquareForm(b *testing.B) {
	q := reals(b, budget.Default(), "u", "v")
	holds(b, func() algebra.Outcome {
		return q.SquareForm("2u^2 + 4u*v + 5v^2 + 9", "2(u + v)^2 + 3v^2 + 9").Outcome
	})
}

func BenchmarkIntegers(b *testing.B) {
	q, bad := algebra.NewQuestion([]algebra.Declared{{Name: "n", Range: "integer"}}, nil, budget.Default())
	require.Nil(b, bad)
	answer := "1, 2, 3, 4, 5, 6, 7"
	holds(b, func() algebra.Outcome { return q.Integers([]string{"(n - 4)^2 <= 12"}, []string{"n"}, &answer).Outcome })
}

func BenchmarkChain(b *testing.B) {
	q := reals(b, budget.Default(), "x")
	lines := []algebra.Line{
		{Text: "x^2 + 50 > 14x"},
		{Text: "x^2 - 14x + 50 > 0", Link: "<=>"},
		{Text: "x^2 - 14x + 49 + 1 > 0", Link: "<=>"},
		{Text: "(x - 7)^2 + 1 > 0", Link: "<=>"},
	}
	require.True(b, q.Steps("x^2 + 50 > 14x", lines, algebra.StartAuto).Correct)
	b.ReportAllocs()
	for b.Loop() {
		q.Steps("x^2 + 50 > 14x", lines, algebra.StartAuto)
	}
}
