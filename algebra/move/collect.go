package move

import "squaremark/algebra/syntax"

// collect puts like terms together and orders them. Both sides keep their
// values, no bracket is opened or closed. Source: elementary.
var collect = Move{
	ID: "collect", Title: "Collect like terms", Family: Rewriting, Since: "0.1.0", Source: "elementary",
	Text: "Terms of a kind are added up, or written in another order.",
	Try: func(p *Pair) Result {
		if _, _, ok := p.atoms(); !ok {
			return refused(CodeShape)
		}
		from, to := p.counts(func(*syntax.Node) bool { return true })
		return p.rewrites(p.sideEqual() && to <= from)
	},
}
