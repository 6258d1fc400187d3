package slip

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// squares compares an expression with what was made of it.
type squares struct {
	*formula.Scope
	want poly.Poly    // the expression
	got  poly.Poly    // what was written
	from *syntax.Node // the expression as a tree
	to   *syntax.Node // what was written, as a tree
}

// newSquares multiplies both out. ok is false for what is no polynomial.
func newSquares(scope *formula.Scope, from, to *syntax.Node) (squares, bool) {
	s := squares{Scope: scope, from: from, to: to}
	var okW, okG bool
	s.want, okW = polynomial(scope, from)
	s.got, okG = polynomial(scope, to)
	return s, okW && okG
}

// polynomial is an expression multiplied out, if it is a polynomial.
func polynomial(scope *formula.Scope, n *syntax.Node) (poly.Poly, bool) {
	t, err := scope.Expression(n)
	if err != nil || len(t.Domain) > 0 {
		return poly.Poly{}, false
	}
	return scope.IsPolynomial(t.Fraction)
}

// quadratic is the expression as A·v² + 2·A·Half·v + ..., in a variable v with
// a number A as coefficient of its square.
type quadratic struct {
	v    int
	a    number.Num
	half poly.Poly // what stands beside v in the bracket
}

// quadratics reads the expression as a quadratic in each of its variables.
func (s squares) quadratics() []quadratic {
	var list []quadratic
	two := number.Int(2)
	for _, v := range s.Ring.Vars(s.want) {
		cs := s.Ring.Coeffs(s.want, v)
		if len(cs) != 3 || cs[1].IsZero() {
			continue
		}
		a, ok := cs[2].IsConst()
		if !ok {
			continue
		}
		inv, ok := a.Mul(two).Inv()
		if ok {
			list = append(list, quadratic{v, a, s.Ring.Scale(cs[1], inv)})
		}
	}
	return list
}

// off reports that what was written is the expression plus this.
func (s squares) off(by poly.Poly) bool {
	return !by.IsZero() && s.Ring.Equal(s.got, s.Ring.Add(s.want, by))
}

// square is a·half², which completing the square brings in.
func (s squares) square(q quadratic) poly.Poly {
	return s.Ring.Scale(s.Ring.Square(q.half), q.a)
}
