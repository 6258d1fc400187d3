package move

import (
	"squaremark/algebra/number"
	"squaremark/algebra/syntax"
)

// differenceOfSquares passes between a² - b² and (a - b)(a + b).
// Source: elementary (Euclid, Elements II.5; from memory).
var differenceOfSquares = Move{
	ID: "difference-of-squares", Title: "Difference of two squares", Family: Rewriting, Since: "0.1.0", Source: "elementary",
	Text: "a^2 - b^2 is written as (a - b)(a + b), or the other way round.",
	Try: func(p *Pair) Result {
		a, b, ok := p.atoms()
		if !ok {
			return refused(CodeShape)
		}
		for _, x := range [...]*Side{&a.Left, &a.Right, &b.Left, &b.Right} {
			for _, y := range [...]*Side{&a.Left, &a.Right, &b.Left, &b.Right} {
				if x != y && p.conjugates(x, y) {
					return p.rewrites(true)
				}
			}
		}
		return refused(CodeShape)
	},
}

// conjugates reports that one expression is the difference of two squares (of
// even powers, or of numbers), and the other the product of the sum and the
// difference of what is squared.
func (s *Setting) conjugates(squares, product *Side) bool {
	n := bare(product.Tree)
	if n.Kind != syntax.Mul {
		return false
	}
	list := s.summands(squares)
	if len(list) != 2 || list[0].tree != nil && !square(list[0].tree) || list[1].tree != nil && !square(list[1].tree) {
		return false
	}
	f, okA := s.polynomialOf(n.Kids[0])
	g, okB := s.polynomialOf(n.Kids[1])
	x, okX := s.polynomial(s.worth(list[0]))
	y, okY := s.polynomial(s.worth(list[1]))
	if !okA || !okB || !okX || !okY {
		return false
	}
	r := s.Ring
	four := number.Int(4)
	if list[0].factor.Sign() < 0 {
		x, y = y, x
	}
	return r.Equal(r.Square(r.Add(f, g)), r.Scale(x, four)) && r.Equal(r.Square(r.Sub(f, g)), r.Scale(r.Neg(y), four))
}
