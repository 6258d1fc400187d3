package move

// givenFact repeats a given. Source: elementary.
var givenFact = Move{
	ID: "given-fact", Title: "Use a given", Family: Facts, Since: "0.1.0", Source: "elementary",
	Text: "A given is written down as a line.",
	Try: func(p *Pair) Result {
		if p.Restate && p.Evident(p.To) == EvidentGiven {
			return Result{Forward: Way{Status: Proved, Plain: true, Uses: []int{Given}}}
		}
		return p.fact(EvidentGiven)
	},
}
