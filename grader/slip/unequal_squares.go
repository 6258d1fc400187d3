package slip

import (
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// A sum of squares is split as if it were one square or a product: a² + b² =
// 25 becomes a + b = 5, and x² + y² = 0 becomes x = 0 or y = 0.
var unequalSquares = Slip{
	ID:     "sum-of-squares-split",
	Title:  "sum of squares split like a square or a product",
	Text:   "a sum of squares is split as if it were one square or a product",
	Kinds:  []string{Integers, Steps},
	Source: "common practice, no source",
	Examples: []Example{
		{Kind: Steps, Variables: "a, b", Ask: "a^2 + b^2 = 25", Written: "a + b = 5", Named: true},
		{Kind: Steps, Variables: "x, y", Ask: "(x - 1)^2 + (y + 2)^2 = 0", Written: "x - 1 = 0 or y + 2 = 0", Named: true},
		{Kind: Steps, Variables: "x, y", Ask: "x^2 + y^2 = 0", Written: "xy = 0", Named: true},
		{Kind: Integers, Variables: "p, q: positive integer", Ask: "p^2 + q^2 = 16", Written: "(1, 3), (2, 2), (3, 1)", Named: true},
		{Kind: Steps, Variables: "a, b", Ask: "a^2 + b^2 = 25", Written: "a + b = 6", Named: false},
		{Kind: Integers, Variables: "p, q: positive integer", Ask: "p^2 + q^2 = 25", Written: "(3, 4)", Named: false},
	},
	line: func(l line) bool {
		us, right, ok := splitSquares(l.from)
		if !ok || l.Scope == nil {
			return false
		}
		if l.to.Kind == syntax.Or {
			return l.zeroes(us, right)
		}
		if !l.polynomials || l.after.rel != poly.Eq {
			return false
		}
		c := change{Scope: l.Scope}
		sum, product := l.Ring.Int(0), l.Ring.Int(1)
		for _, u := range us {
			p, ok := polynomial(l.Scope, u)
			if !ok {
				return false
			}
			sum, product = l.Ring.Add(sum, p), l.Ring.Mul(product, p)
		}
		root, ok := polynomial(c.Scope, rootOf(right))
		if !ok {
			return false
		}
		if l.before.right.IsZero() && (l.Ring.Equal(l.after.diff, product) || l.Ring.Equal(l.after.diff, l.Ring.Neg(product))) {
			return true
		}
		d := l.Ring.Sub(sum, root)
		return l.Ring.Equal(l.after.diff, d) || l.Ring.Equal(l.after.diff, l.Ring.Neg(d))
	},
	sets: func(w integers, try func([]*syntax.Node, []string) bool) bool {
		for i, n := range w.solve {
			us, right, ok := splitSquares(n)
			if !ok {
				continue
			}
			sum := us[0]
			for _, u := range us[1:] {
				sum = binary(syntax.Add, sum, u)
			}
			if try(w.replaced(i, relation(sum, syntax.Eq, rootOf(right))), w.unknowns) {
				return true
			}
		}
		return false
	},
}

// splitSquares takes u² + v² + ... = right apart.
func splitSquares(n *syntax.Node) (us []*syntax.Node, right *syntax.Node, ok bool) {
	if !related(n) || n.Rels[0] != syntax.Eq {
		return nil, nil, false
	}
	for _, t := range terms(n.Kids[0]) {
		if t.minus || !isSquare(t.n) {
			return nil, nil, false
		}
		us = append(us, t.n.Kids[0])
	}
	return us, n.Kids[1], len(us) > 1
}

// zeroes reports a line that says u = 0 or v = 0 or ... after u² + v² + ... = 0.
func (l line) zeroes(us []*syntax.Node, right *syntax.Node) bool {
	zero, ok := polynomial(l.Scope, right)
	if !ok || !zero.IsZero() || len(l.to.Kids) != len(us) {
		return false
	}
	for i, k := range l.to.Kids {
		u, okU := polynomial(l.Scope, us[i])
		s, okS, polynomials := newSides(l.Scope, k)
		if !okU || !okS || !polynomials || s.rel != poly.Eq {
			return false
		}
		q, divides := l.Ring.DivExact(s.diff, u)
		if _, number := q.IsConst(); !divides || !number {
			return false
		}
	}
	return true
}
