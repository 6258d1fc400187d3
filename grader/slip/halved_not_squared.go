package slip

import "squaremark/algebra/poly"

// Half of the middle coefficient is taken away instead of its square:
// x² + 6x + 11 becomes (x + 3)² + 8.
var halvedNotSquared = Slip{
	ID:     "halved-not-squared",
	Title:  "halved but not squared",
	Text:   "half of the middle coefficient is taken away instead of its square",
	Kinds:  []string{SquareForm, Steps},
	Source: "common practice, no source",
	Examples: []Example{
		{Kind: SquareForm, Variables: "x", Ask: "x^2 + 6x + 14", Written: "(x + 3)^2 + 11", Named: true},
		{Kind: SquareForm, Variables: "x", Ask: "x^2 - 6x + 14", Written: "(x - 3)^2 + 11", Named: true},
		{Kind: SquareForm, Variables: "x", Ask: "x^2 + 6x + 14", Written: "(x + 3)^2 + 10", Named: false},
	},
	offsets: func(c change, found func(poly.Poly, any)) {
		c.atSquares(found, func(q quadratic, offer func(poly.Poly)) {
			linear := c.Ring.Scale(q.half, q.a)
			for _, taken := range []poly.Poly{linear, c.Ring.Neg(linear), q.half, c.Ring.Neg(q.half)} {
				offer(c.Ring.Sub(c.square(q), taken))
			}
		})
	},
}
