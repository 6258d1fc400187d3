package slip

import (
	"math/big"

	"squaremark/algebra/syntax"
)

// The square root of a sum is taken term by term: √(x² + 9) becomes x + 3.
var rootTermByTerm = Slip{
	ID:     "root-term-by-term",
	Title:  "root of a sum taken term by term",
	Text:   "the square root of a sum is taken term by term",
	Kinds:  []string{Steps},
	Source: "common practice, no source",
	Examples: []Example{
		{Kind: Steps, Variables: "x", Ask: "sqrt(x^2 + 9) >= 3", Written: "x + 3 >= 3", Named: true},
		{Kind: Steps, Variables: "a, b", Givens: []string{"a > 0", "b > 0"}, Ask: "sqrt(a + b) >= 1", Written: "sqrt(a) + sqrt(b) >= 1", Named: true},
		{Kind: Steps, Variables: "x", Ask: "sqrt(x^2 + 9) >= 3", Written: "x^2 + 9 >= 9", Named: false},
	},
	forward: func(n *syntax.Node) []*syntax.Node {
		if n.Kind != syntax.Root || n.Kids[1].Text != "2" || !isSum(n.Kids[0]) {
			return nil
		}
		list := terms(n.Kids[0])
		for i, t := range list {
			list[i].n = rootOf(t.n)
		}
		return []*syntax.Node{sumOf(list)}
	},
}

// rootOf is the root of a term as a pupil would write it.
func rootOf(n *syntax.Node) *syntax.Node {
	switch {
	case isSquare(n):
		return n.Kids[0]
	case n.Kind == syntax.Mul, n.Kind == syntax.Div:
		return binary(n.Kind, rootOf(n.Kids[0]), rootOf(n.Kids[1]))
	case n.Kind == syntax.Number:
		if v, ok := new(big.Int).SetString(n.Text, 10); ok && v.Sign() >= 0 {
			if r := new(big.Int).Sqrt(v); new(big.Int).Mul(r, r).Cmp(v) == 0 {
				return whole(r)
			}
		}
	}
	return binary(syntax.Root, n, literal(2))
}
