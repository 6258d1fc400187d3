package integer_test

import (
	"errors"
	"strings"
	"testing"

	"squaremark/algebra/budget"
	"squaremark/algebra/formula"
	"squaremark/algebra/integer"
	"squaremark/algebra/syntax"
)

// FuzzAnswers: whatever is asked and answered, nothing panics, a settled
// finite set passes its recheck nearby, and reasons are the kinds promised.
func FuzzAnswers(f *testing.F) {
	for _, row := range fileRows("testdata/answers.txt", " :: ") {
		f.Add(strings.Contains(row[0], "y"), row[1], row[2])
	}
	for _, row := range fileRows("testdata/solve.txt", " :: ") {
		f.Add(strings.Contains(row[0], "y"), row[1], "none")
	}
	f.Fuzz(func(t *testing.T, two bool, asked, answered string) {
		names := "x"
		if two {
			names = "x, y"
		}
		m := budget.New(budget.Default())
		q, diag := syntax.Read(asked, m)
		if diag != nil {
			return
		}
		a, diag := syntax.Read(answered, m)
		if diag != nil {
			return
		}
		scope, err := formula.NewScope(variables(names), m, q.Root, a.Root)
		if err != nil {
			return
		}
		st, err := scope.Formula(q.Root)
		if err != nil {
			return
		}
		var unknowns []int
		for _, v := range variables(names) {
			i, ok := scope.Ring.Index(v.Name)
			if !ok {
				return
			}
			unknowns = append(unknowns, i)
		}
		s, err := integer.Solve(scope, st.Body, unknowns, m)
		if err != nil {
			if !errors.As(err, new(*integer.Unsettled)) {
				t.Fatalf("%T: %v", err, err)
			}
			return
		}
		if s.Finite && len(s.Tuples) < 50 {
			if err := s.Recheck(1); err != nil && !m.Exhausted() && !strings.Contains(err.Error(), "box") && !strings.Contains(err.Error(), "too large") && !strings.Contains(err.Error(), "evaluated") {
				t.Fatal(err)
			}
		}
		if given, err := integer.Read(a.Root, s, m); err == nil && given.IsSet {
			_, _ = integer.Compare(s, given, m)
		}
	})
}
