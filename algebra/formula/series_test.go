package formula_test

import (
	"bufio"
	"errors"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/algebra/budget"
	"squaremark/algebra/formula"
	"squaremark/algebra/source"
	"squaremark/algebra/syntax"
)

var withFamilies = []formula.Variable{{Name: "a_i"}, {Name: "b_i"}, {Name: "x"}, {Name: "y"}, {Name: "n", Range: formula.PositiveInteger}}

func tree(t *testing.T, text string) *syntax.Node {
	t.Helper()
	r, bad := syntax.Read(text, budget.New(budget.Default()))
	require.Nil(t, bad, "%s: %v", text, bad)
	return r.Root
}

// TestSumsTakenApart rewrites the texts of the table, compares with what
// stands there, and writes text and result out for several n.
func TestSumsTakenApart(t *testing.T) {
	f, err := os.Open("testdata/series.txt")
	require.NoError(t, err)
	defer f.Close()
	cyclic, rows := false, 0
	for s := bufio.NewScanner(f); s.Scan(); {
		line := strings.TrimSpace(s.Text())
		switch {
		case line == "" || strings.HasPrefix(line, "#"):
			continue
		case line == "open" || line == "cycle":
			cyclic = line == "cycle"
			continue
		}
		parts := strings.Split(line, ";")
		for i := range parts {
			parts[i] = strings.TrimSpace(parts[i])
		}
		rows++
		m := budget.New(budget.Default())
		sums := formula.NewSums(withFamilies, "n", cyclic, m)
		text := tree(t, parts[0])
		got, err := sums.Rewrite(text)
		require.NoError(t, err, line)
		want := tree(t, parts[1])
		scope, err := sums.Outer(got, want)
		require.NoError(t, err, line)
		a, err := scope.Expression(got)
		require.NoError(t, err, line)
		b, err := scope.Expression(want)
		require.NoError(t, err, line)
		assert.True(t, scope.Equal(a.Fraction, b.Fraction), "%s: found %s", line, syntax.Plain(got))
		assert.Equal(t, parts[2], string(rune('0'+sums.Min)), line)
		for k, atom := range parts[3:] {
			require.Less(t, k, len(sums.Atoms), line)
			assert.Equal(t, strings.ReplaceAll(atom, " ", ""), strings.ReplaceAll(strings.SplitN(sums.Text(k), " = ", 2)[1], " ", ""))
		}
		for n := max(sums.Min, 1); n <= 5; n++ {
			assert.NoError(t, sums.Same(n, budget.New(budget.Default()), text, got), "%s for n = %d", line, n)
			wrong := &syntax.Node{Kind: syntax.Add, Kids: []*syntax.Node{got, tree(t, "a_1")}}
			assert.Error(t, sums.Same(n, budget.New(budget.Default()), text, wrong), "%s for n = %d", line, n)
		}
	}
	assert.Greater(t, rows, 20)
}

func TestSumsNotCovered(t *testing.T) {
	for _, text := range []string{
		"sum(i=1..n, a_{2i})", "sum(i=1..2n, a_i)", "sum(i=n..1, a_i)", "sum(i=1..n, x^i)", "sum(i=1..n^2, i)", "sum(i=30..n, a_i)",
	} {
		sums := formula.NewSums(withFamilies, "n", false, budget.New(budget.Default()))
		_, err := sums.Rewrite(tree(t, text))
		var outside *formula.OutsideError
		assert.True(t, errors.As(err, &outside), "%s: %v", text, err)
	}
}

func TestDotsClosed(t *testing.T) {
	for _, row := range []struct{ text, cycle, want string }{
		{"a_1 + ... + a_n", "", "sum(i=1..n, a_i)"},
		{"a_1^2 + a_2^2 + ... + a_n^2", "", "sum(i=1..n, a_i^2)"},
		{"1 + 3 + 5 + ... + (2n - 1)", "", "sum(i=1..n, 2i - 1)"},
		{"a_1*b_1 + ... + a_n*b_n", "", "sum(i=1..n, a_i*b_i)"},
		{"a_1*a_2 + ... + a_{n-1}*a_n", "", "sum(i=1..n-1, a_i*a_{i+1})"},
		{"a_1*a_2 + a_2*a_3 + ... + a_n*a_1", "", "sum(i=1..n-1, a_i*a_{i+1}) + a_n*a_1"},
		{"a_1*a_2 + a_2*a_3 + ... + a_n*a_1", "n", "sum(i=1..n, a_i*a_{i+1})"},
		{"a_1*a_2 + ... + a_n*a_1", "n", "sum(i=1..n, a_i*a_{i+1})"},
		{"a_1*a_2*a_3 + a_2*a_3*a_4 + ... + a_{n-1}*a_n*a_1 + a_n*a_1*a_2", "", "sum(i=1..n-2, a_i*a_{i+1}*a_{i+2}) + a_{n-1}*a_n*a_1 + a_n*a_1*a_2"},
		{"1 + ... + n", "", "sum(i=1..n, i)"},
	} {
		got := formula.CloseAllDots(tree(t, row.text), row.cycle)
		set := formula.Setting{Cycle: row.cycle}
		for n := int64(3); n <= 5; n++ {
			set.Values = map[string]int64{"n": n}
			m := budget.New(budget.Default())
			a, err := formula.Expand(got, set, m)
			require.NoError(t, err, row.text)
			b, err := formula.Expand(tree(t, row.want), set, m)
			require.NoError(t, err, row.want)
			scope, err := formula.NewScope(withFamilies, m, a, b)
			require.NoError(t, err)
			x, err := scope.Expression(a)
			require.NoError(t, err)
			y, err := scope.Expression(b)
			require.NoError(t, err)
			assert.True(t, scope.Equal(x.Fraction, y.Fraction), "%s for n = %d: %s", row.text, n, syntax.Plain(a))
		}
	}
	for _, text := range []string{"2 + ... + 10", "a_1 + ... + b_n", "a_1 + a_3 + ... + a_n^2"} {
		assert.Equal(t, syntax.Ellipsis, formula.CloseAllDots(tree(t, text), "").Kind, text)
	}
}

func TestNamesOfTexts(t *testing.T) {
	check := func(text string) error { return formula.CheckNames(withFamilies, tree(t, text)) }
	assert.NoError(t, check("sum(i=1..n, a_i*b_{i+1}) >= x"))
	assert.NoError(t, check("a_i >= i"))
	for _, text := range []string{"sum(i=1..n, c_i) > 0", "sum(i=1..n, a_i) > z", "sum(i=1..n, i) + i > 0"} {
		var diag *source.Diag
		require.True(t, errors.As(check(text), &diag), text)
		assert.Equal(t, "unknown-variable", diag.Code)
	}
	assert.Equal(t, []string{"n"}, formula.Sizes(withFamilies, tree(t, "sum(i=1..n, sum(j=1..i, a_j)) > a_k")))
	family, size, ok := formula.CycleOf(tree(t, "a_{n+1} = a_1"))
	assert.True(t, ok)
	assert.Equal(t, "a n", family+" "+size)
	for _, text := range []string{"a_{n+1} = a_2", "a_n = b_1", "a_{n+1} >= a_1", "a_3 = a_1", "a_{n+2} = a_2"} {
		_, _, ok := formula.CycleOf(tree(t, text))
		assert.False(t, ok, text)
	}
}
