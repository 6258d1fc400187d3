package slip

import (
	"math/big"

	"squaremark/algebra/syntax"
)

// variants calls visit with every tree that change makes of n by changing one
// node, until visit returns true. change returns the replacements for a node.
func variants(n *syntax.Node, change func(*syntax.Node) []*syntax.Node, visit func(*syntax.Node) bool) bool {
	for _, c := range change(n) {
		if visit(c) {
			return true
		}
	}
	for i, k := range n.Kids {
		found := variants(k, change, func(c *syntax.Node) bool { return visit(withKid(n, i, c)) })
		if found {
			return true
		}
	}
	return false
}

// withKid is n with another kid in one place.
func withKid(n *syntax.Node, i int, kid *syntax.Node) *syntax.Node {
	out := *n
	out.Kids = append([]*syntax.Node(nil), n.Kids...)
	out.Kids[i] = kid
	return &out
}

// everywhere is n with change applied to every node from the leaves up.
func everywhere(n *syntax.Node, change func(*syntax.Node) *syntax.Node) *syntax.Node {
	out := *n
	out.Kids = make([]*syntax.Node, len(n.Kids))
	for i, k := range n.Kids {
		out.Kids[i] = everywhere(k, change)
	}
	return change(&out)
}

// bases lists what stands under a visible even power or between bars.
func bases(n *syntax.Node) []*syntax.Node {
	var list []*syntax.Node
	if isSquare(n) || n.Kind == syntax.Abs {
		list = append(list, n.Kids[0])
	}
	for _, k := range n.Kids {
		list = append(list, bases(k)...)
	}
	return list
}

// isSquare reports a power with the exponent 2.
func isSquare(n *syntax.Node) bool {
	return n.Kind == syntax.Pow && n.Kids[1].Kind == syntax.Number && n.Kids[1].Text == "2"
}

// terms lists the terms of a sum, each with its sign.
func terms(n *syntax.Node, minus bool, visit func(t *syntax.Node, minus bool)) {
	switch n.Kind {
	case syntax.Add:
		terms(n.Kids[0], minus, visit)
		terms(n.Kids[1], minus, visit)
	case syntax.Sub:
		terms(n.Kids[0], minus, visit)
		terms(n.Kids[1], !minus, visit)
	case syntax.Neg:
		terms(n.Kids[0], !minus, visit)
	case syntax.Plus:
		terms(n.Kids[0], minus, visit)
	default:
		visit(n, minus)
	}
}

func binary(kind syntax.Kind, a, b *syntax.Node) *syntax.Node {
	return &syntax.Node{Kind: kind, Kids: []*syntax.Node{a, b}}
}

// whole is a whole number as a tree.
func whole(v *big.Int) *syntax.Node {
	n := &syntax.Node{Kind: syntax.Number, Text: new(big.Int).Abs(v).String()}
	if v.Sign() < 0 {
		return &syntax.Node{Kind: syntax.Neg, Kids: []*syntax.Node{n}}
	}
	return n
}
