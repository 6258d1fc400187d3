package slip

import (
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/algebra"
	"squaremark/algebra/budget"
)

// finderFor reads "x, y", "n, m: integer" and "a_i; n: positive integer".
func finderFor(e Example) (*Finder, []string) {
	var vars []algebra.Declared
	var list []string
	for _, part := range strings.Split(e.Variables, ";") {
		names, kind, given := strings.Cut(part, ":")
		if !given {
			kind = "real"
		}
		for _, n := range strings.Split(names, ",") {
			n = strings.TrimSpace(n)
			list = append(list, n)
			vars = append(vars, algebra.Declared{Name: n, Range: strings.TrimSpace(kind)})
		}
	}
	return NewFinder(vars, e.Givens, budget.Default()), list
}

func named(e Example) []*Slip {
	f, unknowns := finderFor(e)
	switch e.Kind {
	case SquareForm:
		return f.SquareForm(e.Ask, e.Written)
	case Steps:
		return f.Step(algebra.StepWrong, e.Ask, e.Written)
	}
	return f.Integers([]string{e.Ask}, unknowns, e.Written)
}

func ids(list []*Slip) []string {
	out := []string{}
	for _, s := range list {
		out = append(out, s.ID)
	}
	sort.Strings(out)
	return out
}

func TestExamples(t *testing.T) {
	for _, s := range Catalogue() {
		t.Run(s.ID, func(t *testing.T) {
			yes, no := 0, 0
			for _, e := range s.Examples {
				got := ids(named(e))
				assert.True(t, s.ArisesFor(e.Kind))
				if !e.Named {
					assert.NotContains(t, got, s.ID, "%s as %s", e.Ask, e.Written)
					no++
					continue
				}
				want := []string{s.ID}
				if e.With != "" {
					want = append(want, e.With)
				}
				sort.Strings(want)
				assert.Equal(t, want, got, "%s as %s", e.Ask, e.Written)
				yes++
			}
			assert.Positive(t, yes, "no example is recognised")
			assert.Positive(t, no, "no example is refused")
		})
	}
}

func TestCatalogueIsComplete(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range Catalogue() {
		require.NotEmpty(t, s.ID)
		assert.False(t, seen[s.ID], s.ID)
		seen[s.ID] = true
		assert.NotEmpty(t, s.Title)
		assert.NotEmpty(t, s.Text)
		assert.NotEmpty(t, s.Kinds)
		assert.NotEmpty(t, s.Source)
		assert.False(t, strings.HasSuffix(s.Text, "."), "the text goes on in a sentence")
		algebraic := s.forward != nil || s.undo != nil || s.offsets != nil || s.answer != nil
		works := map[string]bool{SquareForm: algebraic, Steps: algebraic || s.line != nil, Integers: s.sets != nil}
		for _, k := range s.Kinds {
			assert.True(t, works[k], "%s cannot be recognised in %s", s.ID, k)
		}
	}
	assert.True(t, seen[TupleOrder])
}

// What is right has no slip.
func TestNothingNamedWhereNothingIsWrong(t *testing.T) {
	for _, e := range []Example{
		{Kind: SquareForm, Variables: "x", Ask: "x^2 - 14x + 52", Written: "(x - 7)^2 + 3"},
		{Kind: Steps, Variables: "x", Ask: "x^2 + 49 >= 14x", Written: "x^2 + 49 >= 14x"},
		{Kind: Steps, Variables: "x", Ask: "x^2 + 49 >= 14x", Written: "(x - 7)^2 >= 0"},
		{Kind: Steps, Variables: "x", Ask: "x^2 >=", Written: "x"},
		{Kind: SquareForm, Variables: "x", Ask: "x^2", Written: "y"},
		{Kind: Integers, Variables: "n: integer", Ask: "n^2 < ", Written: "1"},
		{Kind: Integers, Variables: "n: integer", Ask: "n^2 < 5", Written: "17"},
		{Kind: SquareForm, Variables: "x", Ask: "1/x", Written: "2/x"},
	} {
		assert.Empty(t, named(e), "%s as %s", e.Ask, e.Written)
	}
}
