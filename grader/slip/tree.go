package slip

import (
	"math/big"
	"slices"

	"squaremark/algebra/syntax"
)

// variants calls visit with every tree that change makes of n by changing one
// node, and with that node, until visit returns true. change returns the
// replacements for a node.
func variants(n *syntax.Node, change func(*syntax.Node) []*syntax.Node, visit func(whole, at *syntax.Node) bool) bool {
	for _, c := range change(n) {
		if visit(c, n) {
			return true
		}
	}
	for i, k := range n.Kids {
		found := variants(k, change, func(c, at *syntax.Node) bool { return visit(withKid(n, i, c), at) })
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

// holds reports a node of one of these kinds.
func holds(n *syntax.Node, kinds ...syntax.Kind) bool {
	return slices.Contains(kinds, n.Kind) || slices.ContainsFunc(n.Kids, func(k *syntax.Node) bool { return holds(k, kinds...) })
}

// isSquare reports a power with the exponent 2.
func isSquare(n *syntax.Node) bool {
	return n.Kind == syntax.Pow && n.Kids[1].Kind == syntax.Number && n.Kids[1].Text == "2"
}

func isSum(n *syntax.Node) bool { return n.Kind == syntax.Add || n.Kind == syntax.Sub }

// term is a term of a sum with its sign.
type term struct {
	n     *syntax.Node
	minus bool
}

// terms lists the terms of a sum. A bracket in it is taken apart as well.
func terms(n *syntax.Node) []term { return termsOf(nil, n, false) }

func termsOf(list []term, n *syntax.Node, minus bool) []term {
	switch n.Kind {
	case syntax.Add:
		return termsOf(termsOf(list, n.Kids[0], minus), n.Kids[1], minus)
	case syntax.Sub:
		return termsOf(termsOf(list, n.Kids[0], minus), n.Kids[1], !minus)
	case syntax.Neg:
		return termsOf(list, n.Kids[0], !minus)
	case syntax.Plus:
		return termsOf(list, n.Kids[0], minus)
	}
	return append(list, term{n, minus})
}

// sumOf is the sum of terms; of none, zero.
func sumOf(list []term) *syntax.Node {
	if len(list) == 0 {
		return literal(0)
	}
	var out *syntax.Node
	for i, t := range list {
		switch {
		case i == 0 && t.minus:
			out = unary(syntax.Neg, t.n)
		case i == 0:
			out = t.n
		case t.minus:
			out = binary(syntax.Sub, out, t.n)
		default:
			out = binary(syntax.Add, out, t.n)
		}
	}
	return out
}

// without is a list of terms but one.
func without(list []term, i int) []term {
	return append(append([]term(nil), list[:i]...), list[i+1:]...)
}

// changed is a list of terms with another one in one place.
func changed(list []term, i int, t term) []term {
	out := append([]term(nil), list...)
	out[i] = t
	return out
}

func unary(kind syntax.Kind, a *syntax.Node) *syntax.Node {
	return &syntax.Node{Kind: kind, Kids: []*syntax.Node{a}}
}

func binary(kind syntax.Kind, a, b *syntax.Node) *syntax.Node {
	return &syntax.Node{Kind: kind, Kids: []*syntax.Node{a, b}}
}

// whole is a whole number as a tree.
func whole(v *big.Int) *syntax.Node {
	n := &syntax.Node{Kind: syntax.Number, Text: new(big.Int).Abs(v).String()}
	if v.Sign() < 0 {
		return unary(syntax.Neg, n)
	}
	return n
}
