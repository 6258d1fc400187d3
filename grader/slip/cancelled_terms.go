package slip

import "squaremark/algebra/syntax"

// A term that numerator and denominator share is cancelled as if it were a
// factor: (x + 6)/(x + 2) becomes 6/2.
var cancelledTerms = Slip{
	ID:     "cancelled-terms",
	Title:  "terms cancelled instead of factors",
	Text:   "a term of a sum is cancelled in a fraction as if it were a factor",
	Kinds:  []string{Steps},
	Source: "common practice, no source",
	Examples: []Example{
		{Kind: Steps, Variables: "x", Ask: "(x + 6)/(x + 2) > 1", Written: "6/2 > 1", Named: true},
		{Kind: Steps, Variables: "a, b", Ask: "(a^2 + b^2)/a^2 >= 1", Written: "b^2 >= 1", Named: true},
		{Kind: Steps, Variables: "x", Ask: "(2x + 8)/2 > 3", Written: "x + 8 > 3", Named: true},
		{Kind: Steps, Variables: "x", Ask: "(2x + 8)/2 > 3", Written: "x + 4 > 3", Named: false},
	},
	forward: func(n *syntax.Node) []*syntax.Node {
		if n.Kind != syntax.Div {
			return nil
		}
		over, under := terms(n.Kids[0]), terms(n.Kids[1])
		if len(over) > maxTurned || len(under) > maxTurned || len(over) == 1 && len(under) == 1 {
			return nil
		}
		var list []*syntax.Node
		for i, t := range over {
			for j, u := range under {
				if t.minus == u.minus && syntax.Equal(t.n, u.n) {
					list = append(list, quotients(without(over, i), without(under, j))...)
				}
			}
			if len(over) > 1 && len(under) == 1 { // only one term is divided
				list = append(list, sumOf(changed(over, i, term{binary(syntax.Div, t.n, n.Kids[1]), t.minus})))
			}
		}
		return list
	},
}

// quotients is what is left of a fraction: nothing at all counts as 1, in the
// numerator also as nothing.
func quotients(over, under []term) []*syntax.Node {
	if len(over) == 0 {
		over = []term{{literal(1), false}}
	}
	if len(under) == 0 {
		return []*syntax.Node{sumOf(over), binary(syntax.Add, literal(1), sumOf(over))}
	}
	return []*syntax.Node{binary(syntax.Div, sumOf(over), sumOf(under))}
}
