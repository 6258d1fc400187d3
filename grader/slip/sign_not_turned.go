package slip

import "squaremark/algebra/poly"

// Both sides are multiplied by something negative, or change places, and the
// inequality sign stays: -2x < 6 becomes x < -3.
var signNotTurned = Slip{
	ID:     "sign-not-turned",
	Title:  "inequality sign not turned",
	Text:   "both sides are multiplied by something negative, or change places, and the inequality sign is not turned",
	Kinds:  []string{Steps},
	Source: "elementary",
	Examples: []Example{
		{Kind: Steps, Variables: "x", Ask: "-4x < 12", Written: "x < -3", Named: true},
		{Kind: Steps, Variables: "x, y", Ask: "x >= y", Written: "-x >= -y", Named: true},
		{Kind: Steps, Variables: "x, z", Givens: []string{"z < 0"}, Ask: "x > 2", Written: "xz > 2z", Named: true},
		{Kind: Steps, Variables: "x, z", Givens: []string{"z < 0"}, Ask: "x/z > 2", Written: "x > 2z", Named: true},
		{Kind: Steps, Variables: "x", Ask: "-4x < 12", Written: "x > -3", Named: false},
	},
	line: func(l line) bool {
		if l.before.rel != l.after.rel || !ordered(l.before.rel) {
			return false
		}
		k, ok := l.factor()
		if !ok {
			return false
		}
		if v, number := l.signOf(k).IsConst(); number {
			return v.Sign() < 0
		}
		return l.is(l.signOf(k), poly.Lt)
	},
}
