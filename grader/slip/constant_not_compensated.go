package slip

import "squaremark/algebra/poly"

// The square is completed, but the constant that this brings in is not taken
// away again: x² + 6x + 11 becomes (x + 3)² + 11.
var constantNotCompensated = Slip{
	ID:     "constant-not-compensated",
	Title:  "constant not compensated",
	Text:   "the number that the square brings in is not taken away again",
	Kinds:  []string{SquareForm, Steps},
	Source: "common practice, no source",
	Examples: []Example{
		{Kind: SquareForm, Variables: "x", Ask: "x^2 - 14x + 52", Written: "(x - 7)^2 + 52", Named: true},
		{Kind: SquareForm, Variables: "x", Ask: "3x^2 + 12x + 17", Written: "3(x + 2)^2 + 17", Named: true},
		{Kind: SquareForm, Variables: "u, v", Ask: "u^2 + 8u + v^2 - 2v + 20", Written: "(u + 4)^2 + (v - 1)^2 + 20", Named: true},
		{Kind: SquareForm, Variables: "x", Ask: "x^2 - 14x + 52", Written: "(x - 7)^2 + 50", Named: false},
		{Kind: Steps, Variables: "t", Ask: "t^2 - 10t + 31 > 0", Written: "(t - 5)^2 + 31 > 0", Named: true},
		{Kind: Steps, Variables: "t", Ask: "t^2 + 31 > 10t", Written: "(t - 5)^2 + 31 > 0", Named: true},
		{Kind: Steps, Variables: "t", Ask: "2t < t^2 - 10t + 31", Written: "2t < (t - 5)^2 + 31", Named: true},
	},
	offsets: func(c change, found func(poly.Poly, any)) {
		all := c.Ring.Int(0)
		c.atSquares(found, func(q quadratic, offer func(poly.Poly)) {
			offer(c.square(q))
			if _, number := q.half.IsConst(); number && q.sign.IsOne() {
				all = c.Ring.Add(all, c.square(q))
			}
		})
		found(all, nil)
	},
}
