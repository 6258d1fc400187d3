package slip

import "squaremark/algebra/syntax"

// A minus in front of a bracket is taken for its first term only:
// 5 - (x - 2) becomes 5 - x - 2.
var minusNotDistributed = Slip{
	ID:     "minus-not-distributed",
	Title:  "minus in front of a bracket not distributed",
	Text:   "the minus in front of a bracket is taken for its first term only",
	Kinds:  []string{SquareForm, Steps},
	Source: "common practice, no source",
	Examples: []Example{
		{Kind: Steps, Variables: "x", Ask: "5 - (x - 2) > 1", Written: "5 - x - 2 > 1", Named: true},
		{Kind: Steps, Variables: "x, y", Ask: "-3(x - 2y) < 4", Written: "-3x - 6y < 4", Named: true},
		{Kind: Steps, Variables: "a, b", Ask: "a^2 - (2ab - b^2) >= 0", Written: "a^2 - 2ab - b^2 >= 0", Named: true},
		{Kind: Steps, Variables: "x", Ask: "5 - (x - 2) > 1", Written: "7 - x > 1", Named: false},
	},
	forward: func(n *syntax.Node) []*syntax.Node {
		var head []term
		inside := n
		switch n.Kind {
		case syntax.Sub:
			head, inside = []term{{n.Kids[0], false}}, n.Kids[1]
		case syntax.Neg:
			inside = n.Kids[0]
		default:
			return nil
		}
		factor, sum := factorOf(inside)
		if sum == nil {
			return nil
		}
		for i, t := range terms(sum) {
			part := t.n
			if factor != nil {
				part = binary(syntax.Mul, factor, part)
			}
			head = append(head, term{part, t.minus != (i == 0)})
		}
		return []*syntax.Node{sumOf(head)}
	},
}

// factorOf takes factor·(a + b) apart; the factor is nil for a bracket alone,
// the sum is nil for anything else.
func factorOf(n *syntax.Node) (factor, sum *syntax.Node) {
	switch {
	case isSum(n):
		return nil, n
	case n.Kind == syntax.Mul && isSum(n.Kids[1]):
		return n.Kids[0], n.Kids[1]
	case n.Kind == syntax.Mul && isSum(n.Kids[0]):
		return n.Kids[1], n.Kids[0]
	}
	return nil, nil
}
