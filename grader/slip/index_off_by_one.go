package slip

import "squaremark/algebra/syntax"

// An index is off by one: the sum of a_i a_{i+1} becomes the sum of a_i a_i,
// or runs one term too far.
var indexOffByOne = Slip{
	ID:     "index-off-by-one",
	Title:  "index off by one",
	Text:   "an index is off by one",
	Kinds:  []string{Steps},
	Source: "common practice, no source",
	Examples: []Example{
		{Kind: Steps, Variables: "a_i; n: positive integer", Ask: "sum_{i=1}^{n} a_i a_{i+1} <= 1", Written: "sum_{i=1}^{n} a_i a_{i+2} <= 1", Named: true},
		{Kind: Steps, Variables: "a_i; n: positive integer", Ask: "sum_{i=1}^{n} a_i^2 >= 0", Written: "sum_{i=1}^{n+1} a_i^2 >= 0", Named: true},
		{Kind: Steps, Variables: "a_i", Ask: "a_1^2 + a_2 a_3 >= 0", Written: "a_1^2 + a_2 a_4 >= 0", Named: true},
		{Kind: Steps, Variables: "a_i; n: positive integer", Ask: "sum_{i=1}^{n} a_i a_{i+1} <= 1", Written: "sum_{i=1}^{n} a_i a_{i+4} <= 1", Named: false},
	},
	undo: func(n *syntax.Node) []*syntax.Node {
		one := literal(1)
		switch {
		case n.Kind == syntax.BigSum:
			return []*syntax.Node{
				withKid(n, 1, binary(syntax.Sub, n.Kids[1], one)),
				withKid(n, 0, binary(syntax.Add, n.Kids[0], one)),
			}
		case n.Kind == syntax.Name && len(n.Kids) == 1:
			var list []*syntax.Node
			for _, index := range nextTo(n.Kids[0]) {
				list = append(list, withKid(n, 0, index))
			}
			return list
		}
		return nil
	},
}
