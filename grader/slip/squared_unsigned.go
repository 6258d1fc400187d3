package slip

import (
	"squaremark/algebra"
	"squaremark/algebra/syntax"
)

// Both sides are squared although one of them may be negative: a < b becomes
// a² < b².
var squaredUnsigned = Slip{
	ID:     "squared-unsigned",
	Title:  "both sides squared without being non-negative",
	Text:   "both sides are squared although one of them may be negative",
	Kinds:  []string{Steps},
	Source: "elementary",
	Examples: []Example{
		{Kind: Steps, Variables: "a, b", Ask: "a < b", Written: "a^2 < b^2", Named: true},
		{Kind: Steps, Variables: "x", Ask: "x - 1 >= 5 - x", Written: "(x - 1)^2 >= (5 - x)^2", Named: true},
		{Kind: Steps, Variables: "x", Ask: "x = 7", Written: "x^2 = 49", Named: true},
		{Kind: Steps, Variables: "x", Ask: "x < sqrt(x + 12)", Written: "x^2 < x + 12", Named: true},
		{Kind: Steps, Variables: "a, b", Givens: []string{"a > 0", "b > 0"}, Ask: "a < b", Written: "a^2 < b^2", Named: false},
		{Kind: Steps, Variables: "a, b", Ask: "a < b", Written: "a^2 < b^2 + 1", Named: false},
	},
	line: func(l line) bool {
		if !l.single || l.before.rel != l.after.rel {
			return false
		}
		if l.polynomials {
			return l.squaresOf(l.before, l.after) && !l.nonNegative(l.before)
		}
		for i := range 2 {
			square := "(" + syntax.Plain(l.from.Kids[i]) + ")^2"
			if !holds(l.from, syntax.Root, syntax.Abs) || l.probe.Identity(square, syntax.Plain(l.to.Kids[i])).Verdict != algebra.Holds {
				return false
			}
		}
		for i := range 2 {
			if l.probe.Truth(syntax.Plain(l.from.Kids[i])+" >= 0").Verdict != algebra.Holds {
				return true
			}
		}
		return false
	},
}
