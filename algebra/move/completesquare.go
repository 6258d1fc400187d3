package move

// completeSquare writes a quadratic as a multiple of a square and what is
// left: a·x² + b·x + c = a(x + b/2a)² + c - b²/4a, in any of the variables, one
// after the other where there are several.
// Source: elementary (al-Khwarizmi; from memory).
var completeSquare = Move{
	ID: "complete-square", Title: "Complete the square", Family: Rewriting, Since: "0.1.0", Source: "elementary",
	Text: "The terms with a variable are written as a multiple of a square of a bracket, and the constant is corrected for what that adds.",
	Try: func(p *Pair) Result {
		a, b, ok := p.atoms()
		if !ok || p.topSquares(b) <= p.topSquares(a) {
			return refused(CodeShape)
		}
		if p.sideEqual() && recogniseSquare.Try(p).found() {
			return refused(CodeShape)
		}
		return p.rewrites(true)
	},
}
