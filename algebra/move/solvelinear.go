package move

import "squaremark/algebra/syntax"

// solveLinear solves an equation or inequality of degree one for a variable.
// Source: elementary.
var solveLinear = Move{
	ID: "solve-linear", Title: "Solve a linear equation or inequality", Family: BothSides, Since: "0.1.0", Source: "elementary",
	Text: "A relation of degree one is solved for its variable.",
	Try: func(p *Pair) Result {
		a, b, ok := p.atoms()
		if !ok || a.Diff.Num.Degree() != 1 || a.Diff.Den.Degree() > 0 {
			return refused(CodeShape)
		}
		alone := func(x, y *Side) bool { return x.Tree.Kind == syntax.Name && !hasName(y.Tree) }
		if !alone(&b.Left, &b.Right) && !alone(&b.Right, &b.Left) || alone(&a.Left, &a.Right) || alone(&a.Right, &a.Left) {
			return refused(CodeShape)
		}
		return p.rewrites(true)
	},
}
