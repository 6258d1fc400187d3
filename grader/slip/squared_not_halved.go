package slip

import "squaremark/algebra/number"

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
	square: func(s squares) bool {
		for _, q := range s.quadratics() {
			square := s.square(q)
			middle := s.Ring.Mul(s.Ring.Scale(q.half, q.a.Mul(number.Int(2))), s.Ring.Var(q.v))
			three := s.Ring.Scale(square, number.Int(3))
			if s.off(s.Ring.Neg(three)) || s.off(s.Ring.Add(middle, three)) || s.off(middle) {
				return true
			}
		}
		return false
	},
}
