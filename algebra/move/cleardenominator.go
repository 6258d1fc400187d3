package move

// clearDenominator multiplies both sides by denominators of known sign:
// a/b < c/d turns into a·d < c·b where b·d > 0. Source: elementary.
var clearDenominator = Move{
	ID: "clear-denominator", Title: "Clear a denominator", Family: BothSides, Since: "0.1.0", Source: "elementary",
	Text:      "Both sides are multiplied by a denominator, or by the common denominator, or divided by one.",
	Condition: "the denominator is positive (not zero for an equation); negative where the sign is turned",
	Try: func(p *Pair) Result {
		f := p.factor()
		if !f.ok {
			return refused(CodeUnequal)
		}
		line := p.From
		if !f.multiply {
			line = p.To
		}
		if f.by.Num.Degree() < 1 || !p.denominator(f, line) {
			return refused(CodeShape)
		}
		return Result{Forward: f.forward, Backward: f.backward, Code: CodeUnequal}
	},
}
