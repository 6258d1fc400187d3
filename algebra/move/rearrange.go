package move

// rearrange is any run of rewritings and of the same terms on both sides: left
// minus right stays what it was up to a positive factor. Source: elementary.
var rearrange = Move{
	ID: "rearrange", Title: "Rearrange", Family: Rewriting, Since: "0.1.0", Source: "elementary",
	Text: "Several rewritings at once: left minus right is the same up to a positive number.",
	Try: func(p *Pair) Result {
		r, _ := p.rewriting()
		return r
	},
}
