package slip

import "squaremark/algebra/number"

// The constant that completing the square brings in is added once more
// instead of being taken away: x² + 6x + 11 becomes (x + 3)² + 20.
var compensatedTwice = Slip{
	ID:     "compensated-twice",
	Title:  "constant added instead of taken away",
	Text:   "the number that the square brings in is added once more instead of being taken away",
	Kinds:  []string{SquareForm, Steps},
	Source: "common practice, no source",
	Examples: []Example{
		{Kind: SquareForm, Variables: "x", Ask: "x^2 + 10x + 31", Written: "(x + 5)^2 + 56", Named: true},
		{Kind: SquareForm, Variables: "x", Ask: "x^2 + 10x + 31", Written: "(x + 5)^2 + 31", Named: false},
	},
	square: func(s squares) bool {
		for _, q := range s.quadratics() {
			if s.off(s.Ring.Scale(s.square(q), number.Int(2))) {
				return true
			}
		}
		return false
	},
}
