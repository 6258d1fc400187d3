package move

// squaresNonNegative brings in the fact that a sum of squares is not negative.
// Source: elementary.
var squaresNonNegative = Move{
	ID: "squares-non-negative", Title: "A sum of squares is not negative", Family: Facts, Since: "0.1.0", Source: "elementary",
	Text: "a^2 + b^2 >= 0, or positive with a positive number beside it, as a fact of its own.",
	Try:  func(p *Pair) Result { return p.fact(EvidentSquares) },
}
