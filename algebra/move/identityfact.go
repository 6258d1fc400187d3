package move

// identityFact brings in an identity. Source: elementary.
var identityFact = Move{
	ID: "identity-fact", Title: "An identity", Family: Facts, Since: "0.1.0", Source: "elementary",
	Text: "(a + b)^2 = a^2 + 2a*b + b^2, as a fact of its own.",
	Try:  func(p *Pair) Result { return p.fact(EvidentIdentity) },
}
