package slip

import (
	"slices"

	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// change is what was there and what was made of it: an expression and an
// answer, or two lines of a chain, each as left minus right.
type change struct {
	*formula.Scope
	from, to  *syntax.Node
	want, got poly.Poly // both multiplied out
	line      *line     // nil for an expression
	strict    bool      // a strict and a non-strict sign are exchanged besides
	other     bool      // the signs differ in another way: only lines are compared
}

// polynomial is an expression multiplied out, if it is a polynomial.
func polynomial(scope *formula.Scope, n *syntax.Node) (poly.Poly, bool) {
	t, err := scope.Expression(n)
	if err != nil || len(t.Domain) > 0 {
		return poly.Poly{}, false
	}
	return scope.IsPolynomial(t.Fraction)
}

// newChange multiplies both out. ok is false for what is no polynomial.
func newChange(scope *formula.Scope, from, to *syntax.Node) (change, bool) {
	c := change{Scope: scope, from: from, to: to}
	var okW, okG bool
	c.want, okW = polynomial(scope, from)
	c.got, okG = polynomial(scope, to)
	return c, okW && okG
}

// quadratic is an expression read as a·v² + 2·a·half·v + ..., in a variable v
// with a number a as coefficient of its square. In front of the expression
// stands sign, 1 or -1.
type quadratic struct {
	v    int
	a    number.Num
	half poly.Poly // what stands beside v in the bracket
	sign number.Num
}

// place tells quadratics apart by their variable.
type variablePlace int

// quadratics reads what was there as a quadratic in each of its variables: as
// a whole, and each side of a line.
func (c change) quadratics() []quadratic {
	list := c.quadraticsOf(nil, c.want, 1)
	if l := c.line; l != nil {
		if _, number := l.before.right.IsConst(); !number {
			list = c.quadraticsOf(list, l.before.left, 1)
			list = c.quadraticsOf(list, l.before.right, -1)
		}
	}
	return list
}

func (c change) quadraticsOf(list []quadratic, p poly.Poly, sign int64) []quadratic {
	two := number.Int(2)
	for _, v := range c.Ring.Vars(p) {
		cs := c.Ring.Coeffs(p, v)
		if len(cs) != 3 || cs[1].IsZero() {
			continue
		}
		a, ok := cs[2].IsConst()
		if !ok {
			continue
		}
		if inv, ok := a.Mul(two).Inv(); ok {
			list = append(list, quadratic{v, a, c.Ring.Scale(cs[1], inv), number.Int(sign)})
		}
	}
	return list
}

// square is a·half², which completing the square brings in.
func (c change) square(q quadratic) poly.Poly {
	return c.Ring.Scale(c.Ring.Square(q.half), q.a)
}

// atSquares offers what wrong makes of each quadratic, where a square was
// completed: a squared bracket was written.
func (c change) atSquares(found func(poly.Poly, any), wrong func(q quadratic, offer func(poly.Poly))) {
	if !slices.ContainsFunc(bases(c.to), isSum) {
		return
	}
	for _, q := range c.quadratics() {
		wrong(q, func(p poly.Poly) { found(c.Ring.Scale(p, q.sign), variablePlace(q.v)) })
	}
}
