package slip

import "squaremark/algebra/poly"

// A strict sign takes the place of a non-strict one, or the other way round:
// x² >= 4 becomes x² > 4.
var strictness = Slip{
	ID:     "strictness",
	Title:  "strict and non-strict sign exchanged",
	Text:   "a strict and a non-strict sign are exchanged",
	Kinds:  []string{Steps},
	Source: "elementary",
	Examples: []Example{
		{Kind: Steps, Variables: "x", Ask: "x^2 - 8x + 16 >= 0", Written: "(x - 4)^2 > 0", Named: true},
		{Kind: Steps, Variables: "x", Ask: "3x < 15", Written: "x <= 5", Named: true},
		{Kind: Steps, Variables: "x", Ask: "3x < 15", Written: "x < 5", Named: false},
	},
	line: func(l line) bool {
		k, ok := l.factor()
		if !ok || !ordered(l.before.rel) || !ordered(l.after.rel) {
			return false
		}
		v, number := k.IsConst()
		if !number {
			return false
		}
		right := l.before.rel
		if v.Sign() < 0 {
			right = right.Flip()
		}
		return exchanged(right) == l.after.rel
	},
}

// exchanged is a relation with the other strictness.
func exchanged(r poly.Rel) poly.Rel {
	switch r {
	case poly.Lt:
		return poly.Le
	case poly.Le:
		return poly.Lt
	case poly.Gt:
		return poly.Ge
	case poly.Ge:
		return poly.Gt
	}
	return r
}
