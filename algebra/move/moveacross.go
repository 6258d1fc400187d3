package move

import "squaremark/algebra/number"

// moveAcross takes terms to the other side with the sign changed.
// Source: elementary.
var moveAcross = Move{
	ID: "move-across", Title: "Move terms across", Family: BothSides, Since: "0.1.0", Source: "elementary",
	Text: "Terms change sides and sign; left minus right stays the same.",
	Try: func(p *Pair) Result {
		if _, _, ok := p.atoms(); !ok || p.sideEqual() {
			return refused(CodeShape)
		}
		_, c := p.rewriting()
		return p.rewrites(c.IsOne() || c.Equal(number.Int(-1)))
	},
}
