package move

import (
	"squaremark/algebra/number"
	"squaremark/algebra/syntax"
)

// How a line is written, as opposed to what it says: the rewriting moves look
// at this to tell which of them was used.

// isSum reports a written sum or difference that contains a variable.
func isSum(n *syntax.Node) bool {
	return (n.Kind == syntax.Add || n.Kind == syntax.Sub) && hasName(n)
}

// bare strips signs in front.
func bare(n *syntax.Node) *syntax.Node {
	for n.Kind == syntax.Neg || n.Kind == syntax.Plus {
		n = n.Kids[0]
	}
	return n
}

// exponent is the whole number to which a power is written, 0 if it is not
// one.
func exponent(n *syntax.Node) int64 {
	if n.Kind != syntax.Pow || n.Kids[1].Kind != syntax.Number {
		return 0
	}
	v, _ := number.Parse(n.Kids[1].Text)
	k, ok := v.Int64()
	if !ok {
		return 0
	}
	return k
}

// bracketSquare reports an even power of a written sum.
func bracketSquare(n *syntax.Node) bool {
	if n.Kind == syntax.Mul {
		return isSum(n.Kids[0]) && syntax.Equal(n.Kids[0], n.Kids[1])
	}
	k := exponent(n)
	return k > 0 && k%2 == 0 && isSum(n.Kids[0])
}

// count adds up the nodes for which test holds.
func count(n *syntax.Node, test func(*syntax.Node) bool) int {
	k := 0
	if test(n) {
		k++
	}
	for _, kid := range n.Kids {
		k += count(kid, test)
	}
	return k
}

// compound reports a product or power in which a sum could be multiplied out.
func compound(n *syntax.Node) bool {
	switch n.Kind {
	case syntax.Mul:
		return isSum(bare(n.Kids[0])) || isSum(bare(n.Kids[1]))
	case syntax.Pow:
		return exponent(n) > 1 && isSum(n.Kids[0])
	}
	return false
}

// properProduct reports a product of two factors that both have a variable,
// one of them a sum; a power of a sum counts.
func properProduct(n *syntax.Node) bool {
	if n.Kind == syntax.Mul {
		return hasName(n.Kids[0]) && hasName(n.Kids[1]) && compound(n)
	}
	return compound(n)
}

func isQuotient(n *syntax.Node) bool { return n.Kind == syntax.Div && hasName(n.Kids[1]) }

// square reports a written square: an even power, or a product or quotient of
// squares.
func square(n *syntax.Node) bool {
	switch n.Kind {
	case syntax.Pow:
		k := exponent(n)
		return k > 0 && k%2 == 0
	case syntax.Mul:
		return syntax.Equal(n.Kids[0], n.Kids[1]) || square(n.Kids[0]) && square(n.Kids[1])
	case syntax.Div:
		return square(n.Kids[0]) && square(n.Kids[1])
	}
	return false
}

// counts compares how often something is written in the two lines of a pair.
func (p *Pair) counts(test func(*syntax.Node) bool) (from, to int) {
	return p.written(p.From, test), p.written(p.To, test)
}

func (p *Pair) written(l *Line, test func(*syntax.Node) bool) int {
	return count(l.Atom.Left.Tree, test) + count(l.Atom.Right.Tree, test)
}

// squaresOnly reports that the terms of a side are positive multiples of at
// least n squares and one of their signs, beside numbers.
func (s *Setting) squaresOnly(side *Side, least int) bool {
	_, rest := split(s.summands(side))
	sign := 0
	for _, t := range rest {
		if !square(t.tree) || sign != 0 && t.factor.Sign() != sign {
			return false
		}
		sign = t.factor.Sign()
	}
	return len(rest) >= least
}

// core is a side without signs and constant factors.
func (s *Setting) core(side *Side) *syntax.Node {
	_, rest := split(s.summands(side))
	if len(rest) != 1 {
		return side.Tree
	}
	return rest[0].tree
}

// wholeSquare reports a multiple of the square of a sum, with nothing beside
// it.
func (s *Setting) wholeSquare(side *Side) bool {
	list := s.summands(side)
	return len(list) == 1 && list[0].tree != nil && bracketSquare(list[0].tree)
}

// alike reports that the two lines have as many brackets to multiply out and
// as many fractions.
func (p *Pair) alike() bool {
	for _, test := range [...]func(*syntax.Node) bool{compound, bracketSquare, isQuotient} {
		if from, to := p.counts(test); from != to {
			return false
		}
	}
	return true
}

// topSquares counts the terms of both sides that are multiples of the square
// of a sum.
func (s *Setting) topSquares(a *Atom) int {
	k := 0
	for _, side := range [...]*Side{&a.Left, &a.Right} {
		for _, t := range s.summands(side) {
			if t.tree != nil && bracketSquare(t.tree) {
				k++
			}
		}
	}
	return k
}
