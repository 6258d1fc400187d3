package slip

import (
	"squaremark/algebra"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// A strict sign takes the place of a non-strict one, or the other way round:
// x² >= 4 becomes x² > 4.
var strictness = Slip{
	ID:     "strictness",
	Title:  "strict and non-strict sign exchanged",
	Text:   "a strict and a non-strict sign are exchanged",
	Kinds:  []string{Steps},
	Source: "elementary",
	Examples: []Example{
		{Kind: Steps, Variables: "x", Ask: "x^2 - 8x + 16 >= 0", Written: "(x - 4)^2 > 0", Named: true},
		{Kind: Steps, Variables: "x", Ask: "3x < 15", Written: "x <= 5", Named: true},
		{Kind: Steps, Variables: "x", Ask: "x^2 < 49", Written: "-7 <= x <= 7", Named: true},
		{Kind: Steps, Variables: "x", Ask: "x^2 + 16 >= 8x", Written: "(x + 4)^2 > 0", Named: true, With: "bracket-sign"},
		{Kind: Steps, Variables: "x", Ask: "3x < 15", Written: "x < 5", Named: false},
	},
	line: func(l line) bool {
		if !l.single {
			return l.otherBoundary()
		}
		k, ok := l.factor()
		if !ok || !ordered(l.before.rel) || !ordered(l.after.rel) {
			return false
		}
		right := l.before.rel
		v, number := k.Num.IsConst()
		switch d, over := k.Den.IsConst(); {
		case !number || !over:
			if k.Num.IsZero() || !l.is(l.signOf(k), poly.Gt) {
				return false
			}
		case v.Sign()*d.Sign() < 0:
			right = right.Flip()
		}
		return exchanged(right) == l.after.rel
	},
}

// otherBoundary reports that a line of several relations is equivalent to the
// line before once all its signs are exchanged.
func (l line) otherBoundary() bool {
	if !related(l.from) || !several(l.to) || holds(l.to, syntax.Implies, syntax.Iff, syntax.Not) {
		return false
	}
	right := otherStrictnessEverywhere(l.to)
	return l.probe.Relation(syntax.Plain(l.from), syntax.Plain(right)).Relation == algebra.Equivalent
}

// several reports more than one inequality.
func several(n *syntax.Node) bool {
	count := 0
	everywhere(n, func(k *syntax.Node) *syntax.Node {
		for _, r := range k.Rels {
			if ordered(poly.Rel(r)) {
				count++
			}
		}
		return k
	})
	return count > 1
}

// exchanged is a relation with the other strictness.
func exchanged(r poly.Rel) poly.Rel {
	switch r {
	case poly.Lt:
		return poly.Le
	case poly.Le:
		return poly.Lt
	case poly.Gt:
		return poly.Ge
	case poly.Ge:
		return poly.Gt
	}
	return r
}
