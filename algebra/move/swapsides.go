package move

import "squaremark/algebra/syntax"

// swapSides reads a relation from the other end: a < b says b > a.
// Source: elementary.
var swapSides = Move{
	ID: "swap-sides", Title: "Swap the sides", Family: BothSides, Since: "0.1.0", Source: "elementary",
	Text: "The two sides change places and the sign of relation turns with them.",
	Try: func(p *Pair) Result {
		a, b, ok := p.atoms()
		if !ok || !syntax.Equal(a.Left.Tree, b.Right.Tree) || !syntax.Equal(a.Right.Tree, b.Left.Tree) {
			return refused(CodeShape)
		}
		return p.rewrites(true)
	},
}
