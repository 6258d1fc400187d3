package slip

import "squaremark/algebra/poly"

// A term is left out when a line is copied: x² - 6x + 11 becomes x² - 6x.
var termLost = Slip{
	ID:      "term-lost",
	Title:   "term left out",
	Text:    "one term is left out and all else is right",
	Kinds:   []string{SquareForm, Steps},
	Source:  "common practice, no source",
	General: true,
	Examples: []Example{
		{Kind: Steps, Variables: "x", Ask: "x^2 - 8x + 11 > 0", Written: "x^2 + 11 > 0", Named: true},
		{Kind: SquareForm, Variables: "u, v", Ask: "u^2 + 3v^2 + 4", Written: "u^2 + 4", Named: true},
		{Kind: Steps, Variables: "x", Ask: "x^2 - 8x + 11 > 0", Written: "x^2 - 8x + 10 > 0", Named: false},
	},
	offsets: func(c change, found func(poly.Poly, any)) {
		list := c.values(c.from)
		if len(list) < 2 {
			return
		}
		for i, t := range list {
			found(c.Ring.Neg(t), i)
		}
	},
}
