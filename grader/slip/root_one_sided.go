package slip

import (
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// The root is taken on both sides of an inequality as if the base of the
// square could not be negative: n² <= 9 is answered with n <= 3.
var rootOneSided = Slip{
	ID:     "root-one-sided",
	Title:  "root taken on both sides without the negative case",
	Text:   "the root is taken on both sides without regard to the negative case",
	Kinds:  []string{Integers, Steps},
	Source: "elementary",
	Examples: []Example{
		{Kind: Integers, Variables: "n: integer", Ask: "n^2 <= 9", Written: "n <= 3", Named: true},
		{Kind: Integers, Variables: "n: integer", Ask: "n^2 <= 9", Written: "n <= 4", Named: false},
		{Kind: Steps, Variables: "x", Ask: "x^2 >= 36", Written: "x >= 6", Named: true},
		{Kind: Steps, Variables: "a, b", Ask: "a^2 < b^2", Written: "a < b", Named: true},
		{Kind: Steps, Variables: "x", Ask: "x^2 >= 36", Written: "x >= 5", Named: false},
	},
	sets: func(w integers, try func([]*syntax.Node, []string) bool) bool {
		for i, n := range w.solve {
			found := variants(n, rooted, func(c, _ *syntax.Node) bool { return try(w.replaced(i, c), w.unknowns) })
			if found {
				return true
			}
		}
		return false
	},
	line: func(l line) bool {
		return l.polynomials && ordered(l.before.rel) && l.before.rel == l.after.rel && l.squaresOf(l.after, l.before) && !l.nonNegative(l.after)
	},
}

// nonNegative reports that both sides are known to be non-negative.
func (l line) nonNegative(s sides) bool {
	return l.is(s.left, poly.Ge) && l.is(s.right, poly.Ge)
}

// rooted lists an inequality between a square and something else with the
// root taken on both sides.
func rooted(n *syntax.Node) []*syntax.Node {
	if n.Kind != syntax.Relation || len(n.Kids) != 2 || !ordered(poly.Rel(n.Rels[0])) {
		return nil
	}
	two := &syntax.Node{Kind: syntax.Number, Text: "2"}
	for i, k := range n.Kids {
		if isSquare(k) {
			out := withKid(n, i, k.Kids[0])
			return []*syntax.Node{withKid(out, 1-i, binary(syntax.Root, n.Kids[1-i], two))}
		}
	}
	return nil
}
