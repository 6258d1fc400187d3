package move

// multiplyByKnownSign multiplies both sides by an expression whose sign the
// givens settle; a negative one turns the sign of an inequality. For an
// equation the sign does not matter, but the step only goes back where the
// factor is not zero. Source: elementary.
var multiplyByKnownSign = Move{
	ID: "multiply-by-known-sign", Title: "Multiply by a quantity of known sign", Family: BothSides, Since: "0.1.0", Source: "elementary",
	Text:      "Both sides are multiplied by the same expression.",
	Condition: "the factor is positive (not zero for an equation); negative where the sign is turned",
	Try: func(p *Pair) Result {
		return p.byFactor(true, func(f *factoring) bool {
			return !p.denominator(f, p.From) && p.seen(f, p.To.Atom, p.From.Atom)
		})
	},
}

// byFactor is the result of multiplying (or dividing) where the form fits.
func (p *Pair) byFactor(multiply bool, fits func(*factoring) bool) Result {
	f := p.factor()
	if !f.ok {
		return refused(CodeUnequal)
	}
	if f.multiply != multiply || f.by.Num.Degree() < 1 || !fits(f) {
		return refused(CodeShape)
	}
	return Result{Forward: f.forward, Backward: f.backward, Code: CodeUnequal}
}

// denominator reports that the factor has a common part with a denominator of
// the line.
func (p *Pair) denominator(f *factoring, l *Line) bool {
	for _, side := range []*Side{&l.Atom.Left, &l.Atom.Right} {
		if side.Den.Degree() > 0 && p.Ring.GCD(f.by.Num, side.Den).Degree() > 0 {
			return true
		}
	}
	return false
}
