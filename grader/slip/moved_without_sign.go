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
	offsets: func(c change, found func(poly.Poly, any)) {
		if c.line == nil {
			return
		}
		b, a := c.line.before, c.line.after
		if !c.Ring.Equal(c.got, a.diff) { // written the other way round
			a.left, a.right, a.leftTree, a.rightTree = a.right, a.left, a.rightTree, a.leftTree
		}
		two := number.Int(2)
		c.crossed(b.leftTree, b.left, a.rightTree, a.right, func(t poly.Poly, place any) { found(c.Ring.Scale(t, two.Neg()), place) })
		c.crossed(b.rightTree, b.right, a.leftTree, a.left, func(t poly.Poly, place any) { found(c.Ring.Scale(t, two), place) })
	},
}

// crossed lists the terms of one side, and that side as a whole, that stand on
// the other side afterwards with the sign they had. Left minus right changes
// by twice such a term; every right move leaves it as it is.
func (c change) crossed(fromTree *syntax.Node, from poly.Poly, toTree *syntax.Node, to poly.Poly, found func(poly.Poly, any)) {
	there := append(c.values(toTree), to)
	for i, t := range append(c.values(fromTree), from) {
		for _, u := range there {
			if c.Ring.Equal(t, u) {
				found(t, crossing{fromTree, i})
				break
			}
		}
	}
}

// crossing is the place of a term that went to the other side.
type crossing struct {
	side *syntax.Node
	term int
}

// values are the terms of a sum as polynomials, with their signs.
func (c change) values(n *syntax.Node) []poly.Poly {
	list := terms(n)
	out := make([]poly.Poly, 0, len(list))
	for _, t := range list {
		p, ok := polynomial(c.Scope, t.n)
		if !ok {
			continue
		}
		if t.minus {
			p = c.Ring.Neg(p)
		}
		out = append(out, p)
	}
	return out
}
