package move

// divideByKnownSign divides both sides by an expression whose sign the givens
// settle. Dividing an equation by something that may be zero loses solutions.
// Source: elementary.
var divideByKnownSign = Move{
	ID: "divide-by-known-sign", Title: "Divide by a quantity of known sign", Family: BothSides, Since: "0.1.0", Source: "elementary",
	Text:      "Both sides are divided by the same expression.",
	Condition: "the divisor is positive (not zero for an equation); negative where the sign is turned",
	Try: func(p *Pair) Result {
		return p.byFactor(false, func(f *factoring) bool {
			return !p.denominator(f, p.To) && p.seen(f, p.From.Atom, p.To.Atom)
		})
	},
}
