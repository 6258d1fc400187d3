package move

import (
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// integerSumOfSquares lists the ways in which multiples of squares of whole
// numbers add up to a number: t² + u² = 5 says t² = 1 and u² = 4, or t² = 4 and
// u² = 1. The bases may be given at once. All whole numbers up to the bound are
// gone through. Source: elementary.
var integerSumOfSquares = Move{
	ID: "integer-sum-of-squares", Title: "List the sums of squares of whole numbers", Family: Solving, Since: "0.1.0", Source: "elementary",
	Text: "A sum of squares of whole numbers that is given, or bounded, leaves finitely many cases, which are listed.", Condition: "the bases of the squares are whole numbers",
	Try: func(p *Pair) Result {
		g, ok := p.sumOfWholeSquares(p.From)
		if !ok {
			return refused(CodeShape)
		}
		cases, ok := g.express(p.To)
		if !ok {
			return refused(CodeShape)
		}
		return g.compare(cases)
	},
}

// maxGrid bounds the tuples that are gone through, maxSquared the squares.
const (
	maxGrid    = 4000
	maxSquared = 3
)

// grid is a sum of multiples of squares of whole numbers against a number,
// with the values of the bases that matter.
type grid struct {
	p       *Pair
	bases   []*quantity
	factors []number.Num
	bound   number.Num // Σ factor·base² sign bound
	sign    poly.Rel   // =, ≤ or <
	values  []map[int64]bool
}

func (p *Pair) sumOfWholeSquares(l *Line) (*grid, bool) {
	if l.Shape != Single || len(l.Atom.Domain) > 0 || l.Atom.Sign == poly.Ne {
		return nil, false
	}
	list, ok := p.difference(l.Atom)
	if !ok {
		return nil, false
	}
	c, rest := split(list)
	if len(rest) == 0 || len(rest) > maxSquared {
		return nil, false
	}
	turn := int64(-1)
	if l.Atom.Sign == poly.Eq && rest[0].factor.Sign() > 0 {
		turn = 1
	}
	g := &grid{p: p, bound: c.Mul(number.Int(-turn)), sign: map[poly.Rel]poly.Rel{poly.Eq: poly.Eq, poly.Ge: poly.Le, poly.Gt: poly.Lt}[l.Atom.Sign]}
	for _, t := range rest {
		k := t.factor.Mul(number.Int(turn))
		if exponent(t.tree) != 2 || k.Sign() <= 0 {
			return nil, false
		}
		f, ok := p.polynomialOf(t.tree.Kids[0])
		if !ok || !p.whole(f) || f.Degree() < 1 {
			return nil, false
		}
		most, ok := g.bound.Div(k)
		if !ok || most.Cmp(number.Int(maxSquares)) > 0 {
			return nil, false
		}
		q := &quantity{t: f, ring: poly.NewRing([]string{"t"}, p.Ring.Meter())}
		values := map[int64]bool{0: true}
		for v := int64(1); ; v++ {
			values[v], values[-v] = true, true // one beyond the bound as well
			if number.Int(v*v).Cmp(most) > 0 {
				break
			}
		}
		g.bases, g.factors, g.values = append(g.bases, q), append(g.factors, k), append(g.values, values)
	}
	return g, true
}

// express gives a line as a statement about the bases: each of its equations
// is one in a single base. The values that it names are taken into the grid.
func (g *grid) express(l *Line) (func([]int64) bool, bool) {
	switch l.Shape {
	case Nothing:
		return func([]int64) bool { return false }, true
	case Single:
		return g.equation(l.Atom)
	case Both, Either:
	default:
		return nil, false
	}
	var kids []func([]int64) bool
	for _, k := range l.Kids {
		f, ok := g.express(k)
		if !ok {
			return nil, false
		}
		kids = append(kids, f)
	}
	return func(at []int64) bool {
		for _, k := range kids {
			if k(at) != (l.Shape == Both) {
				return l.Shape == Either
			}
		}
		return l.Shape == Both
	}, true
}

func (g *grid) equation(a *Atom) (func([]int64) bool, bool) {
	if a.Sign != poly.Eq || len(a.Domain) > 0 || a.Diff.Num.Degree() < 1 {
		return nil, false
	}
	f, ok := g.p.polynomial(a.Diff)
	if !ok {
		return nil, false
	}
	for i, q := range g.bases {
		h, ok := g.p.inPowersOf(f, q)
		if !ok || h.Degree() > 2 {
			continue
		}
		for v := range g.roots(h, q) {
			g.values[i][v] = true
		}
		return func(at []int64) bool {
			return q.ring.EvalAll(h, []number.Num{number.Int(at[i])}).IsZero()
		}, true
	}
	return nil, false
}

// roots gathers the whole roots of a polynomial of degree at most two.
func (g *grid) roots(h poly.Poly, q *quantity) map[int64]bool {
	out := map[int64]bool{}
	c := func(k int) number.Num { return q.ring.Coef(h, []int{k}) }
	if h.Degree() == 1 {
		if v, ok := c(0).Neg().Div(c(1)); ok {
			if k, ok := v.Int64(); ok {
				out[k] = true
			}
		}
		return out
	}
	root, ok := c(1).Mul(c(1)).Sub(number.Int(4).Mul(c(2)).Mul(c(0))).Sqrt()
	if !ok {
		return out
	}
	for _, s := range [...]number.Num{root, root.Neg()} {
		if v, ok := s.Sub(c(1)).Div(c(2).Mul(number.Int(2))); ok {
			if k, ok := v.Int64(); ok {
				out[k] = true
			}
		}
	}
	return out
}

// compare goes through the grid. Beyond it the sum is too large, and no
// equation of the cases holds: one value beyond stands for all.
func (g *grid) compare(cases func([]int64) bool) Result {
	size := 1
	lists := make([][]int64, len(g.values))
	for i, set := range g.values {
		for v := range set {
			lists[i] = append(lists[i], v)
		}
		if size *= len(lists[i]); size > maxGrid {
			return refused(CodeShape)
		}
	}
	r := bothWays
	at := make([]int64, len(lists))
	var walk func(i int)
	walk = func(i int) {
		if i < len(lists) {
			for _, v := range lists[i] {
				at[i] = v
				walk(i + 1)
			}
			return
		}
		sum := g.bound.Neg()
		for k, v := range at {
			sum = sum.Add(g.factors[k].Mul(number.Int(v * v)))
		}
		switch one, other := g.sign.Holds(sum.Sign()), cases(at); {
		case one && !other:
			r.Forward = Way{}
		case other && !one:
			r.Backward = Way{}
		}
	}
	walk(0)
	if !r.found() || g.p.Ring.Meter().Exhausted() {
		return refused(CodeUnequal)
	}
	return r
}
