package slip

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
)

// An inequality is multiplied or divided by something whose sign is not
// known: x > 2 becomes x² > 2x.
var unknownSign = Slip{
	ID:     "unknown-sign",
	Title:  "multiplied by a quantity of unknown sign",
	Text:   "an inequality is multiplied or divided by something that may be positive or negative",
	Kinds:  []string{Steps},
	Source: "elementary",
	Examples: []Example{
		{Kind: Steps, Variables: "x", Ask: "x > 3", Written: "x^2 > 3x", Named: true},
		{Kind: Steps, Variables: "a, b", Ask: "a/b + b/a >= 2", Written: "a^2 + b^2 >= 2ab", Named: true},
		{Kind: Steps, Variables: "x, y", Ask: "xy < 4y", Written: "x < 4", Named: true},
		{Kind: Steps, Variables: "a, b", Givens: []string{"a > 0", "b > 0"}, Ask: "a/b + b/a >= 2", Written: "a^2 + b^2 >= 2ab", Named: false},
		{Kind: Steps, Variables: "x", Ask: "x > 3", Written: "x^2 > 3", Named: false},
	},
	line: func(l line) bool {
		k, ok := l.factor()
		return ok && ordered(l.before.rel) && (l.after.rel == l.before.rel || l.after.rel == l.before.rel.Flip()) &&
			l.varies(k) && !l.is(l.signOf(k), poly.Ge) && !l.is(l.signOf(k), poly.Le)
	},
}

// signOf is a polynomial with the sign of a fraction, where that is defined.
func (l line) signOf(k formula.Fraction) poly.Poly { return l.Ring.Mul(k.Num, k.Den) }

// varies reports a fraction that is no number.
func (l line) varies(k formula.Fraction) bool {
	_, num := k.Num.IsConst()
	_, den := k.Den.IsConst()
	return !num || !den
}
