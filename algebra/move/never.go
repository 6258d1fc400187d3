package move

// neverTrue recognises a line that holds nowhere: a square that should be
// negative, a false statement about numbers. Source: elementary.
var neverTrue = Move{
	ID: "never-true", Title: "No solutions", Family: Solving, Since: "0.1.0", Source: "elementary",
	Text: "A line that asks a square to be negative, or numbers to be what they are not, has no solutions.",
	Try: func(p *Pair) Result {
		if !p.evidentlyFalse(p.From) || !p.evidentlyFalse(p.To) {
			return refused(CodeShape)
		}
		return bothWays
	},
}
