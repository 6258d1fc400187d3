package move

// squareNonNegative brings in the fact that a square is not negative, as a line
// of its own. Source: elementary.
var squareNonNegative = Move{
	ID: "square-non-negative", Title: "A square is not negative", Family: Facts, Since: "0.1.0", Source: "elementary",
	Text: "a^2 >= 0, as a fact of its own in an argument that starts at facts.",
	Try:  func(p *Pair) Result { return p.fact(EvidentSquare) },
}

// fact is the result of a line that stands by itself for the given reason, in
// an argument that starts at facts. From the claim nothing leads there.
func (p *Pair) fact(word string) Result {
	if p.Evident(p.To) != word {
		return refused(CodeShape)
	}
	if !p.Fact {
		return refused(CodeUnequal)
	}
	return Result{Forward: Way{Status: Proved, Plain: true, Uses: []int{Given}}}
}
