package slip

import (
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// The first or the last term of a sum is missing, or the one that goes round
// from the last index to the first: a_1a_2 + a_2a_3 + a_3a_1 becomes a_1a_2 +
// a_2a_3.
var endTerm = Slip{
	ID:     "end-term",
	Title:  "end term of a sum missing",
	Text:   "the first, the last or the wrap-around term of a sum is missing",
	Kinds:  []string{Steps},
	Source: "common practice, no source",
	Examples: []Example{
		{Kind: Steps, Variables: "a_i; n: positive integer", Ask: "sum_{i=1}^{n} a_i^2 >= 0", Written: "sum_{i=1}^{n-1} a_i^2 >= 0", Named: true},
		{Kind: Steps, Variables: "a_i", Ask: "a_1 a_2 + a_2 a_3 + a_3 a_1 <= 5", Written: "a_1 a_2 + a_2 a_3 <= 5", Named: true},
		{Kind: Steps, Variables: "a_i; n: positive integer", Ask: "a_1^2 + a_2^2 + ... + a_n^2 >= 1", Written: "a_1^2 + a_2^2 + ... + a_{n-1}^2 >= 1", Named: true},
		{Kind: Steps, Variables: "a_i", Ask: "a_1 a_2 + a_2 a_3 + a_3 a_1 <= 5", Written: "a_1 a_2 + a_3 a_1 <= 5", Named: false},
	},
	forward: func(n *syntax.Node) []*syntax.Node {
		if n.Kind != syntax.BigSum {
			return nil
		}
		one := literal(1)
		return []*syntax.Node{
			withKid(n, 1, binary(syntax.Sub, n.Kids[1], one)),
			withKid(n, 0, binary(syntax.Add, n.Kids[0], one)),
		}
	},
	offsets: func(c change, found func(poly.Poly, any)) {
		if c.line == nil {
			return
		}
		for i, side := range []*syntax.Node{c.line.before.leftTree, c.line.before.rightTree} {
			list := terms(side)
			if len(list) < 3 || !indexed(list[0].n) || !indexed(list[len(list)-1].n) {
				continue
			}
			values := c.values(side)
			if len(values) != len(list) {
				continue
			}
			for _, t := range []poly.Poly{values[0], values[len(values)-1]} {
				if i == 0 {
					t = c.Ring.Neg(t)
				}
				found(t, side)
			}
		}
	},
}

// indexed reports a name with an index.
func indexed(n *syntax.Node) bool {
	if n.Kind == syntax.Name && len(n.Kids) == 1 {
		return true
	}
	for _, k := range n.Kids {
		if indexed(k) {
			return true
		}
	}
	return false
}
