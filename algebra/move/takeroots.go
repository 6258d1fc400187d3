package move

// takeRoots takes the square root of both sides where both roots written are
// known not to be negative; a modulus never is. Source: elementary.
var takeRoots = Move{
	ID: "take-roots", Title: "Take square roots", Family: BothSides, Since: "0.1.0", Source: "elementary",
	Text:      "From squares to the roots: a^2 < b^2 turns into a < b, and x^2 < 9 into |x| < 3.",
	Condition: "neither side of the new line is negative",
	Try: func(p *Pair) Result {
		backward, forward, ok := p.squared(p.To, p.From)
		if !ok {
			return refused(CodeShape)
		}
		return Result{Forward: forward, Backward: backward, Code: CodeUnequal}
	},
}
