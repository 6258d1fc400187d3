package move

// knownSigns brings in a line that the signs of its parts settle: products of
// like signs, sums of positive terms. Source: elementary.
var knownSigns = Move{
	ID: "known-signs", Title: "Like signs give a positive product", Family: Facts, Since: "0.1.0", Source: "elementary",
	Text: "A product of two quantities of like sign is positive, a sum of positive quantities is positive.", Condition: "the signs are given",
	Try: func(p *Pair) Result { return p.fact(EvidentSigns) },
}
