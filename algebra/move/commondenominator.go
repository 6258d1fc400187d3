package move

// commonDenominator adds fractions, or splits one: both sides keep their
// values wherever they are defined. Source: elementary.
var commonDenominator = Move{
	ID: "common-denominator", Title: "Bring to a common denominator", Family: Rewriting, Since: "0.1.0", Source: "elementary",
	Text: "Fractions are added over a common denominator, or a fraction is split or cancelled.", Condition: "no denominator is zero",
	Try: func(p *Pair) Result {
		if _, _, ok := p.atoms(); !ok {
			return refused(CodeShape)
		}
		from, to := p.counts(isQuotient)
		return p.rewrites(p.sideEqual() && from+to > 0)
	},
}
