package slip

import "squaremark/algebra/syntax"

// The cross term of a squared sum is not doubled: (x + 3)² becomes
// x² + 3x + 9.
var crossTermNotDoubled = Slip{
	ID:     "cross-term-not-doubled",
	Title:  "cross term not doubled",
	Text:   "the cross term of a squared sum is not doubled",
	Kinds:  []string{SquareForm, Steps},
	Source: "common practice, no source",
	Examples: []Example{
		{Kind: Steps, Variables: "x, y", Ask: "(x - y)^2 >= 0", Written: "x^2 - xy + y^2 >= 0", Named: true},
		{Kind: Steps, Variables: "x, y", Ask: "(x - y)^2 >= 0", Written: "x^2 - 2xy + y^2 >= 0", Named: false},
	},
	forward: halfCross,
}

// halfCross is a squared sum of two with its cross term once.
func halfCross(n *syntax.Node) []*syntax.Node {
	if !isSquare(n) || !isSum(n.Kids[0]) {
		return nil
	}
	u, v := n.Kids[0].Kids[0], n.Kids[0].Kids[1]
	uu, vv := binary(syntax.Pow, u, n.Kids[1]), binary(syntax.Pow, v, n.Kids[1])
	return []*syntax.Node{binary(syntax.Add, binary(n.Kids[0].Kind, uu, binary(syntax.Mul, u, v)), vv)}
}
