package slip

import "squaremark/algebra/syntax"

// The values of the bracket are given instead of those of the unknown:
// (n - 4)² = 9 is answered with 3 and -3.
var bracketValues = Slip{
	ID:     "bracket-values",
	Title:  "values of the bracket given",
	Text:   "the values of the bracket are given instead of those of the unknown",
	Kinds:  []string{Integers},
	Source: "common practice, no source",
	Examples: []Example{
		{Kind: Integers, Variables: "n: integer", Ask: "(n - 6)^2 = 16", Written: "4, -4", Named: true},
		{Kind: Integers, Variables: "n: integer", Ask: "(n + 2)^2 < 8", Written: "-2, -1, 0, 1, 2", Named: true},
		{Kind: Integers, Variables: "n: integer", Ask: "(n - 6)^2 = 16", Written: "2, 9", Named: false},
	},
	sets: func(w integers, try func([]*syntax.Node, []string) bool) bool {
		list, ok := w.shifted(1)
		return ok && try(list, w.unknowns)
	},
}
