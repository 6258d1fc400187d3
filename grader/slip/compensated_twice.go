package slip

import (
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

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
	offsets: func(c change, found func(poly.Poly, any)) {
		c.atSquares(found, func(q quadratic, offer func(poly.Poly)) {
			offer(c.Ring.Scale(c.square(q), number.Int(2)))
		})
	},
}
