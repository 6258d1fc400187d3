package slip

import "squaremark/algebra/syntax"

// The cross term of a squared sum is left out or not doubled: (x + 3)² becomes
// x² + 9 or x² + 3x + 9, or comes out of it.
var crossTerm = Slip{
	ID:     "cross-term",
	Title:  "cross term left out or not doubled",
	Text:   "the cross term of a squared sum is left out or not doubled",
	Kinds:  []string{SquareForm, Steps},
	Source: "common practice, no source",
	Examples: []Example{
		{Kind: Steps, Variables: "x, y", Ask: "(x - y)^2 >= 0", Written: "x^2 + y^2 >= 0", Named: true},
		{Kind: Steps, Variables: "x, y", Ask: "(x - y)^2 >= 0", Written: "x^2 - xy + y^2 >= 0", Named: true},
		{Kind: Steps, Variables: "x", Ask: "x^2 + 25 >= 4", Written: "(x + 5)^2 >= 4", Named: true},
		{Kind: Steps, Variables: "x, y", Ask: "(x - y)^2 >= 0", Written: "x^2 - 2xy + y^2 >= 0", Named: false},
	},
	square: func(s squares) bool {
		for _, dir := range []struct {
			n    *syntax.Node
			goal bool
		}{{s.from, true}, {s.to, false}} {
			goal := s.want
			if dir.goal {
				goal = s.got
			}
			found := variants(dir.n, withoutCross, func(c *syntax.Node) bool {
				p, ok := polynomial(s.Scope, c)
				return ok && s.Ring.Equal(p, goal)
			})
			if found {
				return true
			}
		}
		return false
	},
}

// withoutCross lists what a squared sum of two is taken for.
func withoutCross(n *syntax.Node) []*syntax.Node {
	if !isSquare(n) || n.Kids[0].Kind != syntax.Add && n.Kids[0].Kind != syntax.Sub {
		return nil
	}
	sum, two := n.Kids[0], n.Kids[1]
	u, v := sum.Kids[0], sum.Kids[1]
	uu, vv := binary(syntax.Pow, u, two), binary(syntax.Pow, v, two)
	return []*syntax.Node{
		binary(syntax.Add, uu, vv),
		binary(syntax.Sub, uu, vv),
		binary(syntax.Add, binary(sum.Kind, uu, binary(syntax.Mul, u, v)), vv),
	}
}
