package move

// factorise writes a sum as a product. Source: distributive law, read from
// right to left.
var factorise = Move{
	ID: "factorise", Title: "Factorise", Family: Rewriting, Since: "0.1.0", Source: "distributive law",
	Text: "A sum is written as a product.",
	Try: func(p *Pair) Result {
		if _, _, ok := p.atoms(); !ok {
			return refused(CodeShape)
		}
		from, to := p.counts(properProduct)
		if from == to {
			from, to = p.counts(compound)
		}
		return p.rewrites(to > from)
	},
}
