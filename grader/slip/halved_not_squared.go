package slip

import (
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

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
	square: func(s squares) bool {
		for _, q := range s.quadratics() {
			linear := s.Ring.Scale(q.half, q.a)
			for _, taken := range []poly.Poly{linear, s.Ring.Scale(linear, number.Int(-1)), q.half, s.Ring.Scale(q.half, number.Int(-1))} {
				if s.off(s.Ring.Sub(s.square(q), taken)) {
					return true
				}
			}
		}
		return false
	},
}
