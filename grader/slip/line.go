package slip

import (
	"squaremark/algebra"
	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// line compares two lines of a chain.
type line struct {
	*formula.Scope
	probe         *algebra.Question
	from, to      *syntax.Node // the lines as trees
	before, after sides
	single        bool // both lines compare two expressions
	polynomials   bool // and all of these are polynomials
}

// sides is a relation between two expressions.
type sides struct {
	rel         poly.Rel
	left, right poly.Poly // where they are polynomials
	diff        poly.Poly // left - right
	fraction    formula.Fraction
	domain      []poly.Condition // where left - right is defined
	leftTree    *syntax.Node
	rightTree   *syntax.Node
}

func newLine(scope *formula.Scope, probe *algebra.Question, from, to *syntax.Node) line {
	l := line{Scope: scope, probe: probe, from: from, to: to}
	var okB, okA, polyB, polyA bool
	l.before, okB, polyB = newSides(scope, from)
	l.after, okA, polyA = newSides(scope, to)
	l.single, l.polynomials = okB && okA, okB && okA && polyB && polyA
	return l
}

// newSides takes a relation apart. ok is false for another formula, or where
// an expression cannot be read as a fraction; polynomials tells whether the
// sides are polynomials.
func newSides(scope *formula.Scope, n *syntax.Node) (s sides, ok, polynomials bool) {
	if n.Kind != syntax.Relation || len(n.Kids) != 2 {
		return s, false, false
	}
	s = sides{rel: poly.Rel(n.Rels[0]), leftTree: n.Kids[0], rightTree: n.Kids[1]}
	both, err := scope.Expression(minus(n))
	if err != nil {
		return s, false, false
	}
	s.fraction, s.domain = both.Fraction, both.Domain
	var okL, okR bool
	s.left, okL = polynomial(scope, n.Kids[0])
	s.right, okR = polynomial(scope, n.Kids[1])
	if okL && okR {
		s.diff = scope.Ring.Sub(s.left, s.right)
	}
	return s, true, okL && okR
}

// minus is left minus right of a relation.
func minus(n *syntax.Node) *syntax.Node { return binary(syntax.Sub, n.Kids[0], n.Kids[1]) }

// same reports two lines that say the same of equal sides.
func (l line) same() bool {
	return l.polynomials && l.before.rel == l.after.rel && l.Ring.Equal(l.before.left, l.after.left) && l.Ring.Equal(l.before.right, l.after.right)
}

// change is the change of left minus right; of right minus left, where the
// line after is written the other way round.
func (l line) change() change {
	c := change{Scope: l.Scope, from: minus(l.from), to: minus(l.to), want: l.before.diff, got: l.after.diff, line: &l}
	if ordered(l.before.rel) && loose(l.after.rel) == loose(l.before.rel.Flip()) {
		c.to, c.got = binary(syntax.Sub, l.after.rightTree, l.after.leftTree), l.Ring.Neg(c.got)
	}
	return c
}

// search finds what slips make the line out of the line before.
func (l line) search() []*Slip {
	if !l.polynomials {
		for _, s := range Catalogue() {
			if s.ArisesFor(Steps) && s.line != nil && s.line(l) {
				return []*Slip{s}
			}
		}
		return l.textual()
	}
	c := l.change()
	rel := l.after.rel
	if ordered(rel) && loose(rel) != loose(l.before.rel) {
		rel = rel.Flip()
	}
	c.strict = ordered(rel) && exchanged(rel) == l.before.rel
	c.other = rel != l.before.rel && !c.strict
	return c.search(Steps)
}

// factor is the fraction by which the difference of the sides was multiplied.
// ok is false where the two have nothing in common.
func (l line) factor() (formula.Fraction, bool) {
	b, a, r := l.before.fraction, l.after.fraction, l.Ring
	if !l.single || b.Num.IsZero() || a.Num.IsZero() {
		return formula.Fraction{}, false
	}
	if _, number := r.GCD(b.Num, a.Num).IsConst(); number {
		return formula.Fraction{}, false
	}
	f := formula.Fraction{Num: r.Mul(a.Num, b.Den), Den: r.Mul(a.Den, b.Num)}
	if q, ok := r.DivExact(f.Num, f.Den); ok {
		return formula.Fraction{Num: q, Den: r.Int(1)}, true
	}
	g := r.GCD(f.Num, f.Den)
	num, okN := r.DivExact(f.Num, g)
	den, okD := r.DivExact(f.Den, g)
	return formula.Fraction{Num: num, Den: den}, okN && okD
}

// is asks the engine about a polynomial and zero.
func (l line) is(p poly.Poly, rel poly.Rel) bool {
	return l.probe.Truth(l.Ring.String(p)+" "+rel.String()+" 0").Verdict == algebra.Holds
}

func ordered(r poly.Rel) bool { return r != poly.Eq && r != poly.Ne }

// loose is a relation without its strictness.
func loose(r poly.Rel) poly.Rel {
	switch r {
	case poly.Lt:
		return poly.Le
	case poly.Gt:
		return poly.Ge
	}
	return r
}
