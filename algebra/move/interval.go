package move

import "squaremark/algebra/poly"

// quadraticInterval passes between a bound on a quadratic (or on a product of
// linear factors) in one quantity and the intervals between and beyond its
// roots. Source: elementary.
var quadraticInterval = Move{
	ID: "quadratic-interval", Title: "From a quadratic bound to intervals", Family: Solving, Since: "0.1.0", Source: "elementary",
	Text: "A relation in one quantity is solved: between the roots, or outside them; an equation by its list of roots.",
	Try: func(p *Pair) Result {
		if r := p.solvesTo(); r.Code != CodeShape {
			return r
		}
		q := p.Between(p.To, p.From, p.Index, nil)
		r := q.solvesTo().turned()
		if r.found() && p.To.Atom.Sign == poly.Eq && p.From.Shape == Single {
			return refused(CodeShape) // from one value to an equation: square-both-sides or multiply
		}
		return r
	},
}
