package slip

import "squaremark/algebra/syntax"

// Only the non-negative root of a square, or only the non-negative solutions,
// are given: n² = 25 is answered with 5.
var rootLost = Slip{
	ID:     "root-lost",
	Title:  "negative half lost",
	Text:   "only one of the two roots of a square is followed up",
	Kinds:  []string{Integers},
	Source: "elementary",
	Examples: []Example{
		{Kind: Integers, Variables: "n: integer", Ask: "n^2 <= 10", Written: "0, 1, 2, 3", Named: true},
		{Kind: Integers, Variables: "n: integer", Ask: "(n - 6)^2 = 16", Written: "10", Named: true},
		{Kind: Integers, Variables: "n: integer", Ask: "n^2 <= 10", Written: "1, 2, 3", Named: false},
		{Kind: Integers, Variables: "n: integer", Ask: "(n - 6)^2 = 16", Written: "none", Named: false},
	},
	whole: func(w integers) bool {
		zero := literal(0)
		var halves []*syntax.Node
		for _, n := range w.solve {
			halves = append(halves, bases(n)...)
		}
		for _, u := range w.unknowns {
			halves = append(halves, name(u))
		}
		if len(halves) > maxHalves {
			return false
		}
		var all []*syntax.Node
		for _, base := range halves {
			half := relation(base, syntax.Ge, zero)
			if w.isSome(w.with(half)) || w.isSome(w.with(relation(base, syntax.Le, zero))) {
				return true
			}
			all = append(all, half)
		}
		return len(all) > 1 && w.isSome(w.with(all...))
	},
}

// maxHalves bounds the squares of which one root may be lost.
const maxHalves = 6
