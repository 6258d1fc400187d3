package integer_test

import (
	"errors"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"squaremark/algebra/budget"
	"squaremark/algebra/formula"
	"squaremark/algebra/integer"
	"squaremark/algebra/source"
	"squaremark/algebra/syntax"
)

// judged reads an answer to a question and says how it compares.
func judged(t require.TestingT, names, question, answer string) string {
	m := budget.New(budget.Default())
	asked, diag := syntax.Read(question, m)
	require.Nil(t, diag, question)
	given, diag := syntax.Read(answer, m)
	require.Nil(t, diag, answer)
	scope, err := formula.NewScope(variables(names), m, asked.Root, given.Root)
	require.NoError(t, err, answer)
	st, err := scope.Formula(asked.Root)
	require.NoError(t, err, question)
	s, err := integer.Solve(scope, st.Body, places(t, scope, names), m)
	require.NoError(t, err, question)
	a, err := integer.Read(given.Root, s, m)
	var d *source.Diag
	if errors.As(err, &d) {
		return "mistake: " + d.Message
	}
	require.NoError(t, err, answer)
	if !a.IsSet {
		return a.Why
	}
	c, err := integer.Compare(s, a, m)
	require.NoError(t, err, answer)
	return judgement(a, c)
}

func judgement(a *integer.Answer, c integer.Comparison) string {
	var parts []string
	add := func(name string, list [][]*big.Int, text string) {
		var items []string
		for _, tuple := range list {
			items = append(items, integer.TupleText(tuple))
		}
		if text != "" {
			items = append(items, text)
		}
		if len(items) > 0 {
			parts = append(parts, name+" "+strings.Join(items, ", "))
		}
	}
	if c.Correct {
		parts = append(parts, "correct")
	}
	add("missing", c.Missing, c.MissingText)
	add("extra", c.Extra, c.ExtraText)
	if len(a.NotIntegers) > 0 {
		parts = append(parts, "not integers "+strings.Join(a.NotIntegers, ", "))
	}
	add("twice", a.Duplicates, "")
	return strings.Join(parts, "; ")
}

func TestRead(t *testing.T) {
	for _, row := range rows(t, "testdata/answers.txt", " :: ") {
		require.Len(t, row, 4, "%v", row)
		require.Equal(t, row[3], judged(t, row[0], row[1], row[2]), "%s: %s", row[1], row[2])
	}
}

func TestAnswerAsUnderstood(t *testing.T) {
	for answer, want := range map[string]string{
		"x = ±2, 0":     "2, -2, 0",
		"-1, ..., 2":    "-1, 0, 1, 2",
		"none":          "none",
		"-1 <= x < 4":   "-1 <= x < 4",
		"{1, 1/2, 1}":   "1, 1/2",
		"no solutions.": "none",
	} {
		m := budget.New(budget.Default())
		asked, _ := syntax.Read("x^2 < 7", m)
		given, diag := syntax.Read(answer, m)
		require.Nil(t, diag, answer)
		scope, err := formula.NewScope(variables("x"), m, asked.Root, given.Root)
		require.NoError(t, err)
		st, err := scope.Formula(asked.Root)
		require.NoError(t, err)
		s, err := integer.Solve(scope, st.Body, places(t, scope, "x"), m)
		require.NoError(t, err)
		a, err := integer.Read(given.Root, s, m)
		require.NoError(t, err)
		require.True(t, a.IsSet)
		require.Equal(t, want, a.Text)
	}
}
