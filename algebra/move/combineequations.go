package move

import "squaremark/algebra/poly"

// combineEquations adds multiples of equations. Source: elementary.
var combineEquations = Move{
	ID: "combine-equations", Title: "Add or subtract equations", Family: Using, Since: "0.1.0", Source: "elementary",
	Text: "Multiples of two or more equations are added.",
	Try: func(p *Pair) Result {
		if p.To.Shape != Single || p.To.Atom.Sign != poly.Eq {
			return refused(CodeShape)
		}
		c, ok := p.combine()
		if !ok || !c.equations() || !p.usesFrom(c) {
			return refused(CodeUnequal)
		}
		return Result{Forward: c.way(true).both(p.definedAfter())}
	},
}

// usesFrom reports that a combination uses the line before or an earlier one,
// not only givens.
func (p *Pair) usesFrom(c combination) bool {
	for _, h := range c.hyps {
		if h.index != Given {
			return true
		}
	}
	return p.Restate
}

// definedAfter is the way that needs To to be defined.
func (p *Pair) definedAfter() Way {
	return p.established(p.To.Atom.Domain, p.From.Body)
}
