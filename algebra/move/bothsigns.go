package move

import "squaremark/algebra/poly"

// rootsOfBothSigns takes square roots of an equation with both signs:
// t² = c² turns into t = c or t = -c. Source: elementary.
var rootsOfBothSigns = Move{
	ID: "roots-of-both-signs", Title: "Take roots of both signs", Family: Solving, Since: "0.1.0", Source: "elementary",
	Text: "A square that equals a number (or one of a list) gives both roots.",
	Try: func(p *Pair) Result {
		if p.From.Shape != Single || p.From.Atom.Sign != poly.Eq {
			return refused(CodeShape)
		}
		if !square(p.core(&p.From.Atom.Left)) && !square(p.core(&p.From.Atom.Right)) {
			return refused(CodeShape)
		}
		if r := p.solvesTo(); r.found() {
			return r
		}
		return p.product()
	},
}
