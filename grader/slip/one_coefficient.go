package slip

import "squaremark/algebra/poly"

// One coefficient is another number, and all else is right.
var oneCoefficient = Slip{
	ID:      "one-coefficient",
	Title:   "arithmetic slip in one coefficient",
	Text:    "one coefficient is miscalculated and all else is right",
	Kinds:   []string{SquareForm, Steps},
	Source:  "common practice, no source",
	General: true,
	Examples: []Example{
		{Kind: Steps, Variables: "x", Ask: "(x - 6)^2 >= 3", Written: "x^2 - 12x + 35 >= 3", Named: true},
		{Kind: Steps, Variables: "x, y", Ask: "2(x + 3y) < 7", Written: "2x + 5y < 7", Named: true},
		{Kind: SquareForm, Variables: "x", Ask: "x^2 - 14x + 52", Written: "(x - 7)^2 + 4", Named: true},
		{Kind: Steps, Variables: "x", Ask: "(x - 6)^2 >= 3", Written: "x^2 - 11x + 35 >= 3", Named: false},
	},
	answer: func(c change) bool {
		one := func(from, to poly.Poly) bool {
			d := c.Ring.Sub(to, from)
			return d.Len() == 1 && from.Len() == to.Len()
		}
		if c.line == nil {
			return one(c.want, c.got)
		}
		b, a := c.line.before, c.line.after
		switch {
		case c.Ring.Equal(b.right, a.right):
			return one(b.left, a.left)
		case c.Ring.Equal(b.left, a.left):
			return one(b.right, a.right)
		}
		return one(c.want, c.got)
	},
}
