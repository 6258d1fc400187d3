package formula_test

import (
	"bufio"
	"errors"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"squaremark/algebra/budget"
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/source"
	"squaremark/algebra/syntax"
)

var declared = []formula.Variable{
	{Name: "x"}, {Name: "y"}, {Name: "a_i"}, {Name: "n", Range: formula.Integer}, {Name: "m", Range: formula.Integer},
}

// lower gives a statement as text, or "error CODE", or "outside".
func lower(text string) string {
	m := budget.New(budget.Default())
	r, bad := syntax.Read(text, m)
	if bad != nil {
		return "error unreadable"
	}
	root, err := formula.Expand(r.Root, formula.Setting{}, m)
	var s *formula.Scope
	if err == nil {
		s, err = formula.NewScope(declared, m, root)
	}
	if err == nil {
		var st formula.Statement
		if st, err = s.Formula(root); err == nil {
			return s.Text(st.Body)
		}
	}
	var diag *source.Diag
	if errors.As(err, &diag) {
		return "error " + diag.Code
	}
	return "outside"
}

func TestStatements(t *testing.T) {
	f, err := os.Open("testdata/statements.txt")
	require.NoError(t, err)
	defer f.Close()
	rows := 0
	for s := bufio.NewScanner(f); s.Scan(); {
		text, want, ok := strings.Cut(s.Text(), ";")
		if strings.HasPrefix(text, "#") || !ok {
			continue
		}
		rows++
		assert.Equal(t, strings.TrimSpace(want), lower(strings.TrimSpace(text)), text)
	}
	assert.Greater(t, rows, 40)
}

// The cases of a formula and of its negation divide every point between them.
func TestNegationAndCases(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := poly.NewRing([]string{"x", "y"}, budget.New(budget.Default()))
		small := rapid.Int64Range(-2, 2)
		var build func(depth int) *formula.Formula
		build = func(depth int) *formula.Formula {
			if depth == 0 || rapid.IntRange(0, 2).Draw(t, "leaf") == 0 {
				p := r.Add(r.Scale(r.Var(0), number.Int(small.Draw(t, "a"))), r.Scale(r.Var(1), number.Int(small.Draw(t, "b"))))
				p = r.Add(p, r.Const(number.Int(small.Draw(t, "c"))))
				return formula.Condition(poly.Condition{P: p, Rel: poly.Rel(rapid.IntRange(0, 5).Draw(t, "rel"))})
			}
			a, b := build(depth-1), build(depth-1)
			if rapid.Bool().Draw(t, "and") {
				return formula.And(a, b)
			}
			return formula.Or(a, b)
		}
		f := build(3)
		some := func(cases [][]poly.Condition, at []number.Num) bool {
			for _, c := range cases {
				all := true
				for _, cond := range c {
					all = all && cond.Rel.Holds(r.EvalAll(cond.P, at).Sign())
				}
				if all {
					return true
				}
			}
			return false
		}
		yes, okYes := f.Cases()
		no, okNo := formula.Not(f).Cases()
		if !okYes || !okNo {
			t.Skip("too many cases")
		}
		for x := int64(-3); x <= 3; x++ {
			for y := int64(-3); y <= 3; y++ {
				at := []number.Num{number.Int(x), number.Int(y)}
				assert.NotEqual(t, some(yes, at), some(no, at), "at %d, %d", x, y)
			}
		}
	})
}

func FuzzLower(f *testing.F) {
	data, err := os.ReadFile("testdata/statements.txt")
	require.NoError(f, err)
	for _, line := range strings.Split(string(data), "\n") {
		text, _, _ := strings.Cut(line, ";")
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) { lower(text) })
}

func BenchmarkLower(b *testing.B) {
	for b.Loop() {
		lower("(x + 2y)^2 - 4x*y >= x^2 + 3y^2 - 1/2")
	}
}
