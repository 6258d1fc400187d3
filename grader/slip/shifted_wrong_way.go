package slip

import "squaremark/algebra/syntax"

// The number in the bracket is added where it is to be taken away, or the
// other way round: (n - 4)² = 9 is answered with -1 and -7.
var shiftedWrongWay = Slip{
	ID:     "shifted-wrong-way",
	Title:  "shifted the wrong way",
	Text:   "the number in the bracket is shifted the wrong way",
	Kinds:  []string{Integers},
	Source: "common practice, no source",
	Examples: []Example{
		{Kind: Integers, Variables: "n: integer", Ask: "(n - 6)^2 = 16", Written: "-2, -10", Named: true},
		{Kind: Integers, Variables: "n: integer", Ask: "(n - 6)^2 = 16", Written: "-2, -9", Named: false},
	},
	sets: func(w integers, try func([]*syntax.Node, []string) bool) bool {
		list, ok := w.shifted(2)
		return ok && try(list, w.unknowns)
	},
}
