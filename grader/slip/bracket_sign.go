package slip

import "squaremark/algebra/syntax"

// A sign inside a squared bracket is the wrong one: x² - 6x + 9 becomes
// (x + 3)².
var bracketSign = Slip{
	ID:     "bracket-sign",
	Title:  "sign slip in the bracket",
	Text:   "a sign inside a squared bracket is the wrong one",
	Kinds:  []string{SquareForm, Steps},
	Source: "common practice, no source",
	Examples: []Example{
		{Kind: SquareForm, Variables: "x", Ask: "x^2 - 14x + 52", Written: "(x + 7)^2 + 3", Named: true},
		{Kind: SquareForm, Variables: "u, v", Ask: "u^2 - 4uv + 5v^2", Written: "(u + 2v)^2 + v^2", Named: true},
		{Kind: SquareForm, Variables: "x", Ask: "x^2 - 14x + 52", Written: "(x + 7)^2 + 52", Named: true, With: "constant-not-compensated"},
		{Kind: SquareForm, Variables: "x", Ask: "x^2 - 14x + 52", Written: "(x - 6)^2 + 3", Named: false},
		{Kind: Steps, Variables: "t", Ask: "t^2 - 10t + 25 >= 0", Written: "(t + 5)^2 >= 0", Named: true},
		{Kind: Steps, Variables: "t", Ask: "t^2 - 10t + 25 >= 0", Written: "(t - 5)^2 >= 0", Named: false},
	},
	forward: turnedBrackets,
	undo:    turnedBrackets,
}

// turnedBrackets lists a squared sum with one of its signs turned.
func turnedBrackets(n *syntax.Node) []*syntax.Node {
	if !isSquare(n) {
		return nil
	}
	var list []*syntax.Node
	variants(n.Kids[0], turnedSum, func(c, _ *syntax.Node) bool {
		list = append(list, withKid(n, 0, c))
		return len(list) >= maxTurned
	})
	return list
}

// maxTurned bounds the signs that are tried in one bracket.
const maxTurned = 8

func turnedSum(n *syntax.Node) []*syntax.Node {
	switch n.Kind {
	case syntax.Add:
		return []*syntax.Node{binary(syntax.Sub, n.Kids[0], n.Kids[1])}
	case syntax.Sub:
		return []*syntax.Node{binary(syntax.Add, n.Kids[0], n.Kids[1])}
	}
	return nil
}
