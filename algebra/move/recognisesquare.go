package move

// recogniseSquare writes a whole side as the square of a sum:
// a² ± 2ab + b² = (a ± b)². Source: elementary.
var recogniseSquare = Move{
	ID: "recognise-square", Title: "Recognise a square", Family: Rewriting, Since: "0.1.0", Source: "elementary",
	Text: "A whole side is seen to be a multiple of the square of a bracket.",
	Try: func(p *Pair) Result {
		a, b, ok := p.atoms()
		if !ok {
			return refused(CodeShape)
		}
		whole := func(x *Atom) bool { return p.wholeSquare(&x.Left) || p.wholeSquare(&x.Right) }
		if whole(a) || !whole(b) {
			return refused(CodeShape)
		}
		return p.rewrites(p.sideEqual())
	},
}
