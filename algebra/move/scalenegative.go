package move

// scaleNegative multiplies or divides both sides by a negative number; the
// sign of an inequality turns. Source: elementary.
var scaleNegative = Move{
	ID: "scale-negative", Title: "Multiply by a negative number", Family: BothSides, Since: "0.1.0", Source: "elementary",
	Text: "Both sides are multiplied or divided by the same negative number, and < turns into >.",
	Try: func(p *Pair) Result {
		a, b, ok := p.atoms()
		if !ok {
			return refused(CodeShape)
		}
		c, ok := p.factorOfSides(a, b)
		return p.rewrites(ok && c.Sign() < 0)
	},
}
