package slip

import (
	"slices"

	"squaremark/algebra/poly"
)

// Both sides are divided, or in the other direction multiplied, by something
// that may be zero: x² = 5x becomes x = 5.
var mayBeZero = Slip{
	ID:     "may-be-zero",
	Title:  "divided by a quantity that may be zero",
	Text:   "both sides are divided or multiplied by something that may be zero",
	Kinds:  []string{Steps},
	Source: "elementary",
	Examples: []Example{
		{Kind: Steps, Variables: "x", Ask: "x^2 = 5x", Written: "x = 5", Named: true},
		{Kind: Steps, Variables: "x, y", Ask: "x^2 y >= 4x^2", Written: "y >= 4", Named: true},
		{Kind: Steps, Variables: "x, y", Ask: "x = y", Written: "xy = y^2", Named: true},
		{Kind: Steps, Variables: "x", Ask: "(x^2 - 16)/(x - 4) = x + 4", Written: "x + 4 = x + 4", Named: true},
		{Kind: Steps, Variables: "x", Givens: []string{"x > 0"}, Ask: "x^2 = 5x", Written: "x = 5", Named: false},
		{Kind: Steps, Variables: "x", Ask: "x^2 = 5x", Written: "x = 4", Named: false},
	},
	line: func(l line) bool {
		if l.cancelled() {
			return true
		}
		k, ok := l.factor()
		if !ok || l.after.rel != l.before.rel || !l.varies(k) {
			return false
		}
		sign := l.signOf(k)
		if ordered(l.before.rel) && !l.is(sign, poly.Ge) {
			return false
		}
		return !l.is(sign, poly.Ne)
	},
}

// cancelled reports that a fraction was cancelled by something that may be
// zero: both lines say the same where the first one is defined, and the second
// one is defined at more points.
func (l line) cancelled() bool {
	b, a := l.before, l.after
	if !l.single || b.rel != a.rel || !l.Ring.Equal(l.Ring.Mul(b.fraction.Num, a.fraction.Den), l.Ring.Mul(a.fraction.Num, b.fraction.Den)) {
		return false
	}
	for _, c := range b.domain {
		kept := slices.ContainsFunc(a.domain, func(d poly.Condition) bool { return d.Rel == c.Rel && l.Ring.Equal(d.P, c.P) })
		if c.Rel == poly.Ne && !kept && !l.is(c.P, poly.Ne) {
			return true
		}
	}
	return false
}
