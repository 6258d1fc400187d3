package integer_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"squaremark/algebra/budget"
	"squaremark/algebra/formula"
	"squaremark/algebra/integer"
	"squaremark/algebra/syntax"
)

// question reads a formula; names is "x, y" for integers, "x+" for a positive
// integer.
func question(t require.TestingT, names, text string, work int64) (*formula.Scope, *formula.Formula, []int, *budget.Meter) {
	l := budget.Default()
	l.Work = work
	m := budget.New(l)
	reading, diag := syntax.Read(text, m)
	require.Nil(t, diag, text)
	var vars []formula.Variable
	for _, name := range strings.Split(names, ",") {
		v := formula.Variable{Name: strings.TrimSuffix(strings.TrimSpace(name), "+"), Range: formula.Integer}
		if strings.HasSuffix(name, "+") {
			v.Range = formula.PositiveInteger
		}
		vars = append(vars, v)
	}
	scope, err := formula.NewScope(vars, m, reading.Root)
	require.NoError(t, err, text)
	st, err := scope.Formula(reading.Root)
	require.NoError(t, err, text)
	var unknowns []int
	for _, v := range vars {
		i, ok := scope.Ring.Index(v.Name)
		require.True(t, ok, "%s is not in the ring of %s", v.Name, text)
		unknowns = append(unknowns, i)
	}
	return scope, st.Body, unknowns, m
}

func solve(t require.TestingT, names, text string) (*integer.Set, error) {
	scope, f, unknowns, m := question(t, names, text, budget.Default().Work)
	return integer.Solve(scope, f, unknowns, m)
}

// said is the set as the rows of the tables write it.
func said(s *integer.Set, err error) string {
	switch {
	case err != nil:
		return "unsettled: " + err.Error()
	case !s.Finite:
		return "infinite: " + s.Text
	}
	parts := make([]string, len(s.Tuples))
	for i, tuple := range s.Tuples {
		parts[i] = integer.TupleText(tuple)
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

func TestTry(t *testing.T) {
	for _, row := range [][2]string{
		{"x", "x^2 <= 10"},
		{"x", "x^2 - 4x + 3 >= 0"},
		{"x", "|x - 1| <= 2"},
		{"x", "sqrt(x) <= 3"},
		{"x", "x^4 - 5x^2 + 4 = 0"},
		{"x", "x^3 > 10"},
		{"x", "sqrt(x+3) = x - 3"},
		{"x, y", "x^2 + y^2 = 25"},
		{"x, y", "x^2 + x*y + y^2 <= 3"},
		{"x, y", "(x-y)^2 = 0"},
		{"x, y", "(x-y)^2 <= 4"},
		{"x, y, z", "(x-y)^2 + (z-1)^2 <= 0"},
		{"x, y", "x*y = 12"},
		{"x, y", "(x-3)(y-3) = 9"},
		{"x, y", "x^2 - y^2 = 45"},
		{"x, y", "4x + 6y = 9"},
		{"x, y", "2x + 3y = 7"},
		{"x+, y+", "2x + 3y = 17"},
		{"x, y", "x + y = 10 and x*y = 21"},
		{"x, y", "x^2 - 2y^2 = 1"},
		{"x, y", "x^2 - 3y^2 = 2"},
		{"x+, y+", "1/x + 1/y = 1/6"},
		{"x+, y+, z+", "x*y*z = 12"},
		{"x, y, z", "x^2 + y^2 + z^2 <= 3"},
		{"x, y", "x^4 + y^4 = 17"},
		{"x, y", "2*y = x^2 + 1"},
		{"x, y", "y = x^2"},
		{"x, y", "x^2 <= y and y <= 4"},
		{"x, y", "x^2 <= y"},
		{"x, y", "x >= 3 and y < 2"},
		{"x, y", "x*y = 0"},
		{"x, y", "x^2 + y^2 + 1 = 0"},
		{"x, y, z", "x^2 + y^2 + z^2 = x*y + y*z + z*x"},
		{"x, y", "x^2 + y^2 = 4x - 2y + 4"},
		{"x, y", "|x| + |y| <= 2"},
		{"x, y", "x^3 + y^3 = 35"},
		{"x, y", "x^3 - y^3 = 7"},
		{"x, y", "x^2 + 4 y = 3"},
		{"x, y", "x^2 + y^2 = 7"},
		{"x, y", "x != y"},
		{"x, y", "x/3 + y/5 = 1"},
		{"x, y", "3x + 5y <= 20 and x >= 1 and y >= 1"},
		{"x, y", "x^2 - 5x*y + 6y^2 = 3"},
		{"x, y", "x^2*y = 18"},
		{"x, y", "x*y + x + y = 14"},
		{"x+, y+, z+", "1/x + 1/y + 1/z = 1"},
		{"x, y", "x^2 + 2x*y + y^2 = 9"},
		{"x, y", "y^2 = x^3 - x"},
		{"x, y", "x^2 + y^2 <= 10 or x*y = 1"},
		{"x, y", "sqrt(x) + sqrt(y) = 3"},
		{"x, y, z", "x^2+y^2+z^2 = 8*(x*y+1) - 1"},
		{"x, y", "x^2 = 2*y^2"},
	} {
		s, err := solve(t, row[0], row[1])
		t.Logf("%s | %s\n      %s", row[0], row[1], said(s, err))
	}
}
