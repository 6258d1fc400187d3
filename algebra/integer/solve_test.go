package integer_test

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"squaremark/algebra/budget"
	"squaremark/algebra/formula"
	"squaremark/algebra/integer"
	"squaremark/algebra/syntax"
)

// variables reads "x, y" as integers, "x+" as a positive integer.
func variables(names string) []formula.Variable {
	var vars []formula.Variable
	for _, name := range strings.Split(names, ",") {
		v := formula.Variable{Name: strings.TrimSuffix(strings.TrimSpace(name), "+"), Range: formula.Integer}
		if strings.HasSuffix(name, "+") {
			v.Range = formula.PositiveInteger
		}
		vars = append(vars, v)
	}
	return vars
}

func places(t require.TestingT, scope *formula.Scope, names string) []int {
	var list []int
	for _, v := range variables(names) {
		i, ok := scope.Ring.Index(v.Name)
		require.True(t, ok, "%s is not in the ring", v.Name)
		list = append(list, i)
	}
	return list
}

// question reads a formula in these unknowns.
func question(t require.TestingT, names, text string, work int64) (*formula.Scope, *formula.Formula, []int, *budget.Meter) {
	l := budget.Default()
	l.Work = work
	m := budget.New(l)
	reading, diag := syntax.Read(text, m)
	require.Nil(t, diag, text)
	scope, err := formula.NewScope(variables(names), m, reading.Root)
	require.NoError(t, err, text)
	st, err := scope.Formula(reading.Root)
	require.NoError(t, err, text)
	return scope, st.Body, places(t, scope, names), m
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

// rows reads the lines of a table, fields parted by the given sign.
func rows(t *testing.T, file, between string) [][]string {
	list := fileRows(file, between)
	require.NotEmpty(t, list, file)
	return list
}

func fileRows(file, between string) [][]string {
	data, err := os.ReadFile(file)
	if err != nil {
		return nil
	}
	var list [][]string
	for _, line := range strings.Split(string(data), "\n") {
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		fields := strings.Split(line, between)
		for i := range fields {
			fields[i] = strings.TrimSpace(fields[i])
		}
		list = append(list, fields)
	}
	return list
}

func TestSolve(t *testing.T) {
	for _, row := range rows(t, "testdata/solve.txt", " :: ") {
		require.Len(t, row, 3, "%v", row)
		require.Equal(t, row[2], said(solve(t, row[0], row[1])), "%s: %s", row[0], row[1])
	}
}
