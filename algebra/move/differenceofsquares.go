package move

import "squaremark/algebra/syntax"

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
		fits := func(x, y *Atom) bool {
			return (p.twoSquares(x.Left.Tree) || p.twoSquares(x.Right.Tree)) && (p.conjugates(y.Left.Tree) || p.conjugates(y.Right.Tree))
		}
		if !fits(a, b) && !fits(b, a) {
			return refused(CodeShape)
		}
		return p.rewrites(true)
	},
}

// twoSquares reports the difference of two squares: even powers, or numbers
// that have a rational root.
func (s *Setting) twoSquares(n *syntax.Node) bool {
	list := s.summands(n)
	if len(list) != 2 || list[0].factor.Sign()*list[1].factor.Sign() >= 0 {
		return false
	}
	for _, t := range list {
		root, ok := t.factor.Abs().Sqrt()
		if !ok || !root.IsRational() || t.tree != nil && !square(t.tree) {
			return false
		}
	}
	return true
}

// conjugates reports a product of two factors that are the sum and the
// difference of the same two terms.
func (s *Setting) conjugates(n *syntax.Node) bool {
	n = s.core(n)
	if n.Kind != syntax.Mul {
		return false
	}
	a, errA := s.Expression(n.Kids[0])
	b, errB := s.Expression(n.Kids[1])
	if errA != nil || errB != nil {
		return false
	}
	f, okA := s.polynomial(a.Fraction)
	g, okB := s.polynomial(b.Fraction)
	if !okA || !okB {
		return false
	}
	sum, diff := s.Ring.Add(f, g), s.Ring.Sub(f, g)
	return !sum.IsZero() && !diff.IsZero() && sum.Len()+diff.Len() <= max(f.Len(), g.Len())
}
