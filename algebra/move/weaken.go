package move

// strictToLoose weakens > to ≥, or = to ≥. It only goes one way.
// Source: elementary.
var strictToLoose = Move{
	ID: "strict-to-loose", Title: "Weaken the sign of relation", Family: Weakening, Since: "0.1.0", Source: "elementary",
	Text: "a > b gives a >= b, and a = b gives a >= b.",
	Try: func(p *Pair) Result {
		a, b, ok := p.atoms()
		if !ok || a.Sign == b.Sign {
			return refused(CodeShape)
		}
		r, _ := p.rewriting()
		return r
	},
}
