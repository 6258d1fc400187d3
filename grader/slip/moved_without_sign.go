package slip

import (
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
		{Kind: Steps, Variables: "x", Ask: "x^2 + 49 >= 14x", Written: "x^2 - 14x + 49 >= 0", Named: false},
	},
	line: func(l line) bool {
		if l.before.rel != l.after.rel {
			return false
		}
		b, a := l.before, l.after
		found := false
		try := func(from, to, gotFrom, gotTo poly.Poly, t poly.Poly) {
			moved := !t.IsZero() && l.Ring.Equal(gotFrom, l.Ring.Sub(from, t)) && l.Ring.Equal(gotTo, l.Ring.Add(to, t))
			found = found || moved
		}
		terms(b.leftTree, false, func(n *syntax.Node, minus bool) {
			if t, ok := signed(l, n, minus); ok {
				try(b.left, b.right, a.left, a.right, t)
			}
		})
		terms(b.rightTree, false, func(n *syntax.Node, minus bool) {
			if t, ok := signed(l, n, minus); ok {
				try(b.right, b.left, a.right, a.left, t)
			}
		})
		try(b.left, b.right, a.left, a.right, b.left)
		try(b.right, b.left, a.right, a.left, b.right)
		return found
	},
}

func signed(l line, n *syntax.Node, minus bool) (poly.Poly, bool) {
	p, ok := polynomial(l.Scope, n)
	if minus {
		p = l.Ring.Neg(p)
	}
	return p, ok
}
