package slip

import (
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// The middle coefficient is used without being halved, in the number that is
// taken away, in the bracket, or in both: x² + 6x + 40 becomes (x + 3)² + 4,
// (x + 6)² + 31 or (x + 6)² + 4.
var squaredNotHalved = Slip{
	ID:     "squared-not-halved",
	Title:  "squared but not halved",
	Text:   "the middle coefficient is used without being halved",
	Kinds:  []string{SquareForm, Steps},
	Source: "common practice, no source",
	Examples: []Example{
		{Kind: SquareForm, Variables: "x", Ask: "x^2 + 8x + 70", Written: "(x + 4)^2 + 6", Named: true},
		{Kind: SquareForm, Variables: "x", Ask: "x^2 + 8x + 70", Written: "(x + 8)^2 + 54", Named: true},
		{Kind: SquareForm, Variables: "x", Ask: "x^2 + 8x + 70", Written: "(x + 8)^2 + 6", Named: true},
		{Kind: SquareForm, Variables: "x", Ask: "x^2 + 8x + 70", Written: "(x + 4)^2 + 7", Named: false},
	},
	offsets: func(c change, found func(poly.Poly, any)) {
		c.atSquares(found, func(q quadratic, offer func(poly.Poly)) {
			middle := c.Ring.Mul(c.Ring.Scale(q.half, q.a.Mul(number.Int(2))), c.Ring.Var(q.v))
			three := c.Ring.Scale(c.square(q), number.Int(3))
			offer(c.Ring.Neg(three))
			offer(c.Ring.Add(middle, three))
			offer(middle)
		})
	},
}
