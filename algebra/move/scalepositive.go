package move

// scalePositive multiplies or divides both sides by a positive number.
// Source: elementary.
var scalePositive = Move{
	ID: "scale-positive", Title: "Multiply by a positive number", Family: BothSides, Since: "0.1.0", Source: "elementary",
	Text: "Both sides are multiplied or divided by the same positive number.",
	Try: func(p *Pair) Result {
		a, b, ok := p.atoms()
		if !ok {
			return refused(CodeShape)
		}
		if _, c := p.rewriting(); a.Rel == b.Rel && c.Sign() > 0 && !c.IsOne() {
			return p.rewrites(true)
		}
		for _, right := range [...]*Atom{b, {Left: b.Right, Right: b.Left}} {
			if c, ok := p.factorOfSides(a, right); ok && c.Sign() > 0 && !c.IsOne() {
				return p.rewrites(true)
			}
		}
		return p.rewrites(false)
	},
}
