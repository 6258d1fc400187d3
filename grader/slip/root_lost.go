package slip

import (
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// Only the non-negative root of a square, or only the non-negative solutions,
// are given: n² = 25 is answered with 5.
var rootLost = Slip{
	ID:     "root-lost",
	Title:  "negative half lost",
	Text:   "only one of the two roots of a square is followed up",
	Kinds:  []string{Integers, Steps},
	Source: "elementary",
	Examples: []Example{
		{Kind: Integers, Variables: "n: integer", Ask: "n^2 <= 10", Written: "0, 1, 2, 3", Named: true},
		{Kind: Integers, Variables: "n: integer", Ask: "(n - 6)^2 = 16", Written: "10", Named: true},
		{Kind: Integers, Variables: "n: integer", Ask: "n^2 < 9", Written: "0, 1, 2, 3", Named: true, With: "boundary"},
		{Kind: Integers, Variables: "n: integer", Ask: "n^2 <= 10", Written: "1, 3", Named: false},
		{Kind: Integers, Variables: "n: integer", Ask: "(n - 6)^2 = 16", Written: "none", Named: false},
		{Kind: Steps, Variables: "x", Ask: "x^2 = 49", Written: "x = 7", Named: true},
		{Kind: Steps, Variables: "x, y", Ask: "x^2 = 4y^2", Written: "x = 2y", Named: true},
		{Kind: Steps, Variables: "x", Ask: "(x - 3)^2 = 16", Written: "x = 7", Named: true},
		{Kind: Steps, Variables: "x", Ask: "x^2 = 49", Written: "x = 7 or x = -7", Named: false},
	},
	sets: func(w integers, try func([]*syntax.Node, []string) bool) bool {
		if w.empty {
			return false
		}
		zero := literal(0)
		var halves []*syntax.Node
		for _, n := range w.solve {
			halves = append(halves, bases(n)...)
		}
		for _, u := range w.unknowns {
			halves = append(halves, name(u))
		}
		if len(halves) > maxHalves {
			return false
		}
		var all []*syntax.Node
		for _, base := range halves {
			half := relation(base, syntax.Ge, zero)
			if try(w.with(half), w.unknowns) || try(w.with(relation(base, syntax.Le, zero)), w.unknowns) {
				return true
			}
			all = append(all, half)
		}
		return len(all) > 1 && try(w.with(all...), w.unknowns)
	},
	line: func(l line) bool {
		if !l.polynomials || l.before.rel != poly.Eq || l.after.rel != poly.Eq {
			return false
		}
		return l.squaresOf(l.after, l.before) || l.oneFactor()
	},
}

// maxHalves bounds the squares of which one root may be lost.
const maxHalves = 6

// squaresOf reports that the sides of one line are the squares of those of the
// other one, up to what was moved across and a factor.
func (l line) squaresOf(plain, squared sides) bool {
	d := l.Ring.Sub(l.Ring.Square(plain.left), l.Ring.Square(plain.right))
	if d.IsZero() {
		return false
	}
	q, ok := l.Ring.DivExact(squared.diff, d)
	if !ok {
		return false
	}
	v, number := q.IsConst()
	return number && v.Sign() > 0
}

// oneFactor reports that an equation u² = s² is followed by u = s in other
// words: left minus right was p·q, where p and q are u - s and u + s, and is p
// now. u is the base of a square that was there.
func (l line) oneFactor() bool {
	q, ok := l.Ring.DivExact(l.before.diff, l.after.diff)
	if !ok {
		return false
	}
	half := number.Frac(1, 2)
	for _, base := range bases(l.from) {
		u, ok := polynomial(l.Scope, base)
		if !ok || u.IsZero() {
			continue
		}
		// p + q is twice u once both are scaled to the leading coefficient of u.
		p := l.scaledTo(l.after.diff, u)
		r := l.scaledTo(q, u)
		if !l.Ring.Equal(p, r) && l.Ring.Equal(l.Ring.Scale(l.Ring.Add(p, r), half), u) {
			return true
		}
	}
	return false
}

// scaledTo is p times the number that gives it the leading coefficient of u.
func (l line) scaledTo(p, u poly.Poly) poly.Poly {
	k, ok := u.LeadCoef().Div(p.LeadCoef())
	if !ok {
		return p
	}
	return l.Ring.Scale(p, k)
}
