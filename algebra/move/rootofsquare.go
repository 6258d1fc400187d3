package move

import "squaremark/algebra/syntax"

// rootOfSquare passes between the root of a square, the modulus, and what
// stands in it where its sign is known. Source: elementary.
var rootOfSquare = Move{
	ID: "root-of-square", Title: "Root of a square", Family: Rewriting, Since: "0.1.0", Source: "elementary",
	Text:      "sqrt(t^2) is |t|, |t|^2 is t^2, and |t| is t where t is not negative; sqrt(a*b) is sqrt(a)*sqrt(b) where neither is.",
	Condition: "for leaving the modulus out, and for splitting a root: the sign is given",
	Try: func(p *Pair) Result {
		if _, _, ok := p.atoms(); !ok {
			return refused(CodeShape)
		}
		roots, rootsTo := p.counts(func(n *syntax.Node) bool { return n.Kind == syntax.Root })
		moduli, moduliTo := p.counts(func(n *syntax.Node) bool { return n.Kind == syntax.Abs })
		return p.rewrites(roots != rootsTo || moduli != moduliTo)
	},
}
