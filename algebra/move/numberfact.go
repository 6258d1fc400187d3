package move

// numberFact brings in a true statement about numbers. Source: elementary.
var numberFact = Move{
	ID: "number-fact", Title: "A fact about numbers", Family: Facts, Since: "0.1.0", Source: "elementary",
	Text: "3 > 0, as a fact of its own.",
	Try:  func(p *Pair) Result { return p.fact(EvidentNumber) },
}
