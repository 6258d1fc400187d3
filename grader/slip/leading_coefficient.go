package slip

import "squaremark/algebra/poly"

// The factor in front of the bracket is not multiplied into the number that
// is taken away: 3x² + 12x + 17 becomes 3(x + 2)² + 13.
var leadingCoefficient = Slip{
	ID:     "leading-coefficient",
	Title:  "leading coefficient not multiplied through the constant",
	Text:   "the factor in front of the bracket is not multiplied into the number that is taken away",
	Kinds:  []string{SquareForm, Steps},
	Source: "common practice, no source",
	Examples: []Example{
		{Kind: SquareForm, Variables: "x", Ask: "3x^2 + 12x + 17", Written: "3(x + 2)^2 + 13", Named: true},
		{Kind: SquareForm, Variables: "x", Ask: "2x^2 - 20x + 61", Written: "2(x - 5)^2 + 36", Named: true},
		{Kind: SquareForm, Variables: "x", Ask: "3x^2 + 12x + 17", Written: "3(x + 2)^2 + 5", Named: false},
		{Kind: Steps, Variables: "x", Ask: "2x^2 - 20x + 61 > 0", Written: "2(x - 5)^2 + 36 > 0", Named: true},
	},
	offsets: func(c change, found func(poly.Poly, any)) {
		c.atSquares(found, func(q quadratic, offer func(poly.Poly)) {
			if !q.a.IsOne() {
				offer(c.Ring.Sub(c.square(q), c.Ring.Square(q.half)))
			}
		})
	},
}
