package move

// expand multiplies brackets out. Source: distributive law.
var expand = Move{
	ID: "expand", Title: "Multiply brackets out", Family: Rewriting, Since: "0.1.0", Source: "distributive law",
	Text: "A product or a power of a sum is written as a sum.",
	Try: func(p *Pair) Result {
		if _, _, ok := p.atoms(); !ok {
			return refused(CodeShape)
		}
		from, to := p.counts(compound)
		return p.rewrites(to < from)
	},
}
