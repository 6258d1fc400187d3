package move

import "squaremark/algebra/poly"

// addInequalities adds inequalities that point the same way, positive
// multiples of them, and equations. Source: elementary.
var addInequalities = Move{
	ID: "add-inequalities", Title: "Add inequalities", Family: Using, Since: "0.1.0", Source: "elementary",
	Text: "Two or more inequalities that point the same way are added; positive multiples, equations and positive numbers may be added too.",
	Try: func(p *Pair) Result {
		if p.To.Shape != Single || p.To.Atom.Sign == poly.Eq {
			return refused(CodeShape)
		}
		c, ok := p.combine()
		if !ok || c.equations() || !p.usesFrom(c) {
			return refused(CodeUnequal)
		}
		return Result{Forward: c.way(true).both(p.definedAfter())}
	},
}
