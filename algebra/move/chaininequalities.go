package move

import "squaremark/algebra/poly"

// chainInequalities goes from a ≥ b and b ≥ c to a ≥ c.
// Source: the order of numbers is transitive.
var chainInequalities = Move{
	ID: "chain-inequalities", Title: "From a to b to c", Family: Using, Since: "0.1.0", Source: "the order of numbers is transitive",
	Text: "a >= b and b >= c give a >= c.",
	Try: func(p *Pair) Result {
		if p.To.Shape != Single || p.To.Atom.Sign == poly.Eq {
			return refused(CodeShape)
		}
		b := p.To.Atom
		c, ok := p.combine()
		if !ok || len(c.hyps) != 2 || !c.rest.IsZero() || c.equations() || !p.usesFrom(c) {
			return refused(CodeUnequal)
		}
		for _, k := range [2]int{0, 1} {
			x, y := c.hyps[k].atom, c.hyps[1-k].atom
			if p.Setting.same(x.great(), b.great()) && p.Setting.same(x.small(), y.great()) && p.Setting.same(y.small(), b.small()) {
				return Result{Forward: c.way(true).both(p.definedAfter())}
			}
		}
		return refused(CodeUnequal)
	},
}
