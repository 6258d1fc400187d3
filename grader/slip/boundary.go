package slip

import (
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// A boundary is included that does not belong, or left out that does: a
// strict sign is taken for a non-strict one, or the other way round.
var boundary = Slip{
	ID:     "boundary",
	Title:  "boundary included or left out",
	Text:   "a boundary is included that does not belong, or left out that does",
	Kinds:  []string{Integers},
	Source: "common practice, no source",
	Examples: []Example{
		{Kind: Integers, Variables: "n: integer", Ask: "n^2 < 9", Written: "-3, -2, -1, 0, 1, 2, 3", Named: true},
		{Kind: Integers, Variables: "n: integer", Ask: "(n - 4)^2 <= 4", Written: "3, 4, 5", Named: true},
		{Kind: Integers, Variables: "n: integer", Ask: "n^2 < 9", Written: "-2, -1, 0, 1", Named: false},
	},
	sets: func(w integers, try func([]*syntax.Node, []string) bool) bool {
		count := 0
		for i, n := range w.solve {
			found := variants(n, otherStrictness, func(c, _ *syntax.Node) bool {
				count++
				return try(w.replaced(i, c), w.unknowns)
			})
			if found {
				return true
			}
		}
		if count < 2 {
			return false
		}
		all := make([]*syntax.Node, len(w.solve))
		for i, n := range w.solve {
			all[i] = otherStrictnessEverywhere(n)
		}
		return try(all, w.unknowns)
	},
}

func otherStrictnessEverywhere(n *syntax.Node) *syntax.Node {
	return everywhere(n, func(n *syntax.Node) *syntax.Node {
		for j := range n.Rels {
			n = withRel(n, j)
		}
		return n
	})
}

// otherStrictness lists a relation with one of its inequality signs changed.
func otherStrictness(n *syntax.Node) []*syntax.Node {
	var list []*syntax.Node
	for i, r := range n.Rels {
		if ordered(poly.Rel(r)) {
			list = append(list, withRel(n, i))
		}
	}
	return list
}

// withRel is n with the strictness of sign i exchanged.
func withRel(n *syntax.Node, i int) *syntax.Node {
	out := *n
	out.Rels = append([]syntax.Rel(nil), n.Rels...)
	out.Rels[i] = syntax.Rel(exchanged(poly.Rel(n.Rels[i])))
	return &out
}
