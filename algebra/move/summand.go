package move

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/syntax"
)

// summand is one term of a written sum: factor times what tree says.
type summand struct {
	factor number.Num
	tree   *syntax.Node // without its constant factor; nil for a number
	value  formula.Fraction
}

// maxSummands bounds the terms of one side that are looked at one by one.
const maxSummands = 60

// summands takes a written sum apart, brackets with a constant factor
// included. It is empty when there are too many, or one cannot be lowered.
func (s *Setting) summands(n *syntax.Node) []summand {
	list, ok := s.collectSummands(nil, n, number.Int(1))
	if !ok || len(list) > maxSummands {
		return nil
	}
	return list
}

func (s *Setting) collectSummands(list []summand, n *syntax.Node, factor number.Num) ([]summand, bool) {
	if len(list) > maxSummands {
		return nil, false
	}
	switch n.Kind {
	case syntax.Add, syntax.Sub:
		list, ok := s.collectSummands(list, n.Kids[0], factor)
		if !ok {
			return nil, false
		}
		if n.Kind == syntax.Sub {
			factor = factor.Neg()
		}
		return s.collectSummands(list, n.Kids[1], factor)
	case syntax.Neg:
		return s.collectSummands(list, n.Kids[0], factor.Neg())
	case syntax.Plus:
		return s.collectSummands(list, n.Kids[0], factor)
	case syntax.Mul, syntax.Div:
		if v, ok := s.value(n.Kids[1]); ok {
			if n.Kind == syntax.Div {
				v, ok = v.Inv()
			}
			if ok {
				return s.collectSummands(list, n.Kids[0], factor.Mul(v))
			}
		}
		if v, ok := s.value(n.Kids[0]); ok && n.Kind == syntax.Mul {
			return s.collectSummands(list, n.Kids[1], factor.Mul(v))
		}
	}
	if v, ok := s.value(n); ok {
		v = v.Mul(factor)
		return append(list, summand{factor: v, value: s.fraction(s.Ring.Const(v))}), true
	}
	t, err := s.Expression(n)
	if err != nil {
		return nil, false
	}
	f := s.fold(t.Fraction)
	f.Num = s.Ring.Scale(f.Num, factor)
	return append(list, summand{factor: factor, tree: n, value: f}), true
}

// split adds up the numbers of a list of summands and gives the others.
func split(list []summand) (constant number.Num, rest []summand) {
	for _, t := range list {
		if t.tree == nil {
			constant = constant.Add(t.factor)
		} else {
			rest = append(rest, t)
		}
	}
	return constant, rest
}

// difference lists the summands of the greater side and, negated, those of
// the smaller side. ok is false when one side has too many.
func (s *Setting) difference(a *Atom) (list []summand, ok bool) {
	list, ok = s.collectSummands(nil, a.Great().Tree, number.Int(1))
	if ok {
		list, ok = s.collectSummands(list, a.Small().Tree, number.Int(-1))
	}
	return list, ok && len(list) <= maxSummands
}

// sign is the sign of a summand as written.
func (t summand) sign(s *Setting) sign {
	if t.tree == nil {
		return signOfNumber(t.factor.Sign())
	}
	return s.signOfTree(t.tree).times(signOfNumber(t.factor.Sign()))
}
