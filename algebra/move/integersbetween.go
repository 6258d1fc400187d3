package move

import "squaremark/algebra/formula"

// integersBetween lists the whole numbers that satisfy bounds, or gives the
// bounds that a list fills. Source: elementary.
var integersBetween = Move{
	ID: "integers-between", Title: "List the whole numbers between bounds", Family: Solving, Since: "0.1.0", Source: "elementary",
	Text: "-1 <= n <= 2 says n = -1, 0, 1 or 2.", Condition: "the variable is a whole number",
	Try: func(p *Pair) Result {
		q, ok := p.solvedFor(p.From)
		if !ok || q.of.Vars[0].Range == formula.Real {
			return refused(CodeShape)
		}
		to, ok := p.solvedFor(p.To)
		if !ok || !p.Ring.Equal(q.t, to.t) {
			return refused(CodeShape)
		}
		one, okFrom := p.express(p.From, q)
		other, okTo := p.express(p.To, q)
		if !okFrom || !okTo {
			return refused(CodeShape)
		}
		var r Result
		if q.follows(one, other) {
			r.Forward = proved
		}
		if q.follows(other, one) {
			r.Backward = proved
		}
		if !r.found() {
			r.Code = CodeUnequal
		}
		return r
	},
}
