package move

// sumOfSquares writes a side as a sum of multiples of squares, doubled first
// where that is needed: 2a² + 2b² + 2c² - 2ab - 2bc - 2ca is
// (a - b)² + (b - c)² + (c - a)². Source: elementary.
var sumOfSquares = Move{
	ID: "sum-of-squares", Title: "Regroup as a sum of squares", Family: Rewriting, Since: "0.1.0", Source: "elementary",
	Text: "A side is written as a sum of multiples of at least two squares and a number.",
	Try: func(p *Pair) Result {
		a, b, ok := p.atoms()
		if !ok {
			return refused(CodeShape)
		}
		sum := func(x *Atom) bool { return p.squaresOnly(&x.Left, 2) || p.squaresOnly(&x.Right, 2) }
		from, to := p.counts(bracketSquare)
		return p.rewrites(sum(b) && to > from && (!sum(a) || to > from+1))
	},
}
