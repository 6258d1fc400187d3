package slip

import (
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// A term goes to the other side and keeps its sign: x² + 9 >= 6x becomes
// x² + 6x + 9 >= 0.
var movedWithoutSign = Slip{
	ID:     "moved-without-sign",
	Title:  "term moved without changing its sign",
	Text:   "a term goes to the other side and keeps its sign",
	Kinds:  []string{Steps},
	Source: "elementary",
	Examples: []Example{
		{Kind: Steps, Variables: "x", Ask: "x^2 + 49 >= 14x", Written: "x^2 + 14x + 49 >= 0", Named: true},
		{Kind: Steps, Variables: "x, y", Ask: "x - 2y > 5", Written: "x > 5 - 2y", Named: true},
		{Kind: Steps, Variables: "x", Ask: "x^2 + 30 > 10x", Written: "x^2 - 10x > 30", Named: true},
		{Kind: Steps, Variables: "x", Ask: "x^2 + 49 >= 14x", Written: "x^2 - 14x + 49 >= 0", Named: false},
		{Kind: Steps, Variables: "x", Ask: "x^2 + 49 >= 14x", Written: "x^2 - 14x + 48 >= 0", Named: false},
	},
	line: func(l line) bool {
		if l.before.rel != l.after.rel {
			return false
		}
		b, a := l.before, l.after
		return l.crossed(b.leftTree, b.left, a.rightTree, a.right, l.Ring.Sub(b.diff, a.diff)) ||
			l.crossed(b.rightTree, b.right, a.leftTree, a.left, l.Ring.Sub(a.diff, b.diff))
	},
}

// crossed looks for a term of one side, or that side as a whole, that stands
// on the other side afterwards with the sign it had. Left minus right then
// changes by twice the term; every other move leaves it as it is.
func (l line) crossed(fromTree *syntax.Node, from poly.Poly, toTree *syntax.Node, to poly.Poly, twice poly.Poly) bool {
	if twice.IsZero() {
		return false
	}
	t := l.Ring.Scale(twice, number.Frac(1, 2))
	return l.holds(fromTree, from, t) && l.holds(toTree, to, t)
}

// holds reports that a side is t or has the term t.
func (l line) holds(tree *syntax.Node, side, t poly.Poly) bool {
	found := l.Ring.Equal(side, t)
	terms(tree, false, func(n *syntax.Node, minus bool) {
		p, ok := polynomial(l.Scope, n)
		if minus {
			p = l.Ring.Neg(p)
		}
		found = found || ok && l.Ring.Equal(p, t)
	})
	return found
}
