package slip

import "squaremark/algebra/syntax"

// The cross term of a squared sum is left out: (x + 3)² becomes x² + 9, or
// comes out of it.
var crossTermDropped = Slip{
	ID:     "cross-term-dropped",
	Title:  "cross term left out",
	Text:   "the cross term of a squared sum is left out",
	Kinds:  []string{SquareForm, Steps},
	Source: "common practice, no source",
	Examples: []Example{
		{Kind: Steps, Variables: "x, y", Ask: "(x - y)^2 >= 0", Written: "x^2 + y^2 >= 0", Named: true},
		{Kind: Steps, Variables: "x", Ask: "x^2 + 25 >= 4", Written: "(x + 5)^2 >= 4", Named: true},
		{Kind: Steps, Variables: "a, b, c", Ask: "(a + b + c)^2 <= 9", Written: "a^2 + b^2 + c^2 <= 9", Named: true},
		{Kind: Steps, Variables: "x, y", Ask: "(x - y)^2 >= 0", Written: "x^2 - 2xy + y^2 >= 0", Named: false},
	},
	forward: withoutCross,
	undo:    withoutCross,
}

// withoutCross lists a squared sum taken term by term.
func withoutCross(n *syntax.Node) []*syntax.Node {
	if !isSquare(n) || !isSum(n.Kids[0]) {
		return nil
	}
	parts := terms(n.Kids[0])
	plain, signed := make([]term, len(parts)), make([]term, len(parts))
	minus := 0
	for i, t := range parts {
		square := binary(syntax.Pow, t.n, n.Kids[1])
		plain[i], signed[i] = term{square, false}, term{square, t.minus}
		if t.minus {
			minus++
		}
	}
	list := []*syntax.Node{sumOf(plain)}
	if minus > 0 {
		list = append(list, sumOf(signed))
	}
	return list
}
