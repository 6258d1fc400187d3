package slip

import "squaremark/algebra/poly"

// One coefficient is another number, and all else is right.
var oneCoefficient = Slip{
	ID:     "one-coefficient",
	Title:  "arithmetic slip in one coefficient",
	Text:   "one coefficient is miscalculated and all else is right",
	Kinds:  []string{Steps},
	Source: "common practice, no source",
	Examples: []Example{
		{Kind: Steps, Variables: "x", Ask: "(x - 6)^2 >= 3", Written: "x^2 - 12x + 35 >= 3", Named: true},
		{Kind: Steps, Variables: "x, y", Ask: "2(x + 3y) < 7", Written: "2x + 5y < 7", Named: true},
		{Kind: Steps, Variables: "x", Ask: "(x - 6)^2 >= 3", Written: "x^2 - 11x + 35 >= 3", Named: false},
	},
	line: func(l line) bool {
		if l.before.rel != l.after.rel {
			return false
		}
		b, a := l.before, l.after
		one := func(from, to poly.Poly) bool {
			d := l.Ring.Sub(to, from)
			return d.Len() == 1 && from.Len() == to.Len()
		}
		switch {
		case l.Ring.Equal(b.right, a.right):
			return one(b.left, a.left)
		case l.Ring.Equal(b.left, a.left):
			return one(b.right, a.right)
		}
		return one(b.diff, a.diff)
	},
}
