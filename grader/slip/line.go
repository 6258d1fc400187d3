package slip

import (
	"squaremark/algebra"
	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// line compares two lines of a chain, each one relation between two sides.
type line struct {
	*formula.Scope
	probe         *algebra.Question
	before, after sides
}

// sides is a relation as two polynomials.
type sides struct {
	rel         poly.Rel
	left, right poly.Poly
	diff        poly.Poly // left - right
	leftTree    *syntax.Node
	rightTree   *syntax.Node
}

func newLine(scope *formula.Scope, before, after *syntax.Node) (line, bool) {
	b, okB := newSides(scope, before)
	a, okA := newSides(scope, after)
	return line{Scope: scope, before: b, after: a}, okB && okA
}

func newSides(scope *formula.Scope, n *syntax.Node) (sides, bool) {
	if n.Kind != syntax.Relation || len(n.Kids) != 2 {
		return sides{}, false
	}
	s := sides{rel: poly.Rel(n.Rels[0]), leftTree: n.Kids[0], rightTree: n.Kids[1]}
	var okL, okR bool
	s.left, okL = polynomial(scope, n.Kids[0])
	s.right, okR = polynomial(scope, n.Kids[1])
	s.diff = scope.Ring.Sub(s.left, s.right)
	return s, okL && okR
}

// same reports two lines with equal sides.
func (l line) same() bool {
	return l.before.rel == l.after.rel && l.Ring.Equal(l.before.left, l.after.left) && l.Ring.Equal(l.before.right, l.after.right)
}

// inOneSide reports that one side is unchanged and a slip with squares made
// the other one.
func (l line) inOneSide(slip func(squares) bool) bool {
	if l.before.rel != l.after.rel {
		return false
	}
	switch {
	case l.Ring.Equal(l.before.right, l.after.right):
		return slip(squares{l.Scope, l.before.left, l.after.left, l.before.leftTree, l.after.leftTree})
	case l.Ring.Equal(l.before.left, l.after.left):
		return slip(squares{l.Scope, l.before.right, l.after.right, l.before.rightTree, l.after.rightTree})
	}
	return false
}

// factor is the polynomial by which the difference of the sides was
// multiplied, if there is one.
func (l line) factor() (poly.Poly, bool) {
	if l.before.diff.IsZero() || l.after.diff.IsZero() {
		return poly.Poly{}, false
	}
	return l.Ring.DivExact(l.after.diff, l.before.diff)
}

func ordered(r poly.Rel) bool { return r != poly.Eq && r != poly.Ne }
