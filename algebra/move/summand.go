package move

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/syntax"
)

// summand is one term of a written sum: factor times what tree says, or a
// number.
type summand struct {
	factor number.Num
	tree   *syntax.Node // without its constant factor; nil for a number
	value  *formula.Fraction
}

// maxSummands bounds the terms of one side that are looked at one by one.
const maxSummands = 60

// summands takes a side apart, brackets with a constant factor included, once.
// It is empty when there are too many.
func (s *Setting) summands(side *Side) []*summand {
	if !side.apart {
		side.apart = true
		if list, ok := s.collectSummands(nil, side.Tree, number.Int(1)); ok && len(list) <= maxSummands {
			side.terms = list
		}
	}
	return side.terms
}

func (s *Setting) collectSummands(list []*summand, n *syntax.Node, factor number.Num) ([]*summand, bool) {
	if len(list) > maxSummands {
		return nil, false
	}
	switch n.Kind {
	case syntax.Name:
		return append(list, &summand{factor: factor, tree: n}), true
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
		if n.Kind == syntax.Mul {
			if v, ok := s.value(n.Kids[0]); ok {
				return s.collectSummands(list, n.Kids[1], factor.Mul(v))
			}
		}
	}
	if v, ok := s.value(n); ok {
		return append(list, &summand{factor: v.Mul(factor)}), true
	}
	return append(list, &summand{factor: factor, tree: n}), true
}

// split adds up the numbers of a list of summands and gives the others.
func split(list []*summand) (constant number.Num, rest []*summand) {
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
func (s *Setting) difference(a *Atom) (list []*summand, ok bool) {
	great, small := s.summands(a.Great()), s.summands(a.Small())
	if len(great) == 0 || len(small) == 0 {
		return nil, false
	}
	list = append(make([]*summand, 0, len(great)+len(small)), great...)
	for _, t := range small {
		n := &summand{factor: t.factor.Neg(), tree: t.tree}
		if t.value != nil {
			n.value = &formula.Fraction{Num: s.Ring.Neg(t.value.Num), Den: t.value.Den}
		}
		list = append(list, n)
	}
	return list, true
}

// worth is the summand as a fraction. One that cannot be lowered is 0 over 1,
// which matches nothing.
func (s *Setting) worth(t *summand) formula.Fraction {
	if t.value == nil {
		f := s.fraction(s.Ring.Const(t.factor))
		if t.tree != nil {
			e, err := s.Expression(t.tree)
			if err != nil {
				f = s.fraction(s.Ring.Int(0))
			} else {
				f = s.fold(e.Fraction)
				f.Num = s.Ring.Scale(f.Num, t.factor)
			}
		}
		t.value = &f
	}
	return *t.value
}

// sign is the sign of a summand as written.
func (t *summand) sign(s *Setting) sign {
	if t.tree == nil {
		return signOfNumber(t.factor.Sign())
	}
	return s.signOfTree(t.tree).times(signOfNumber(t.factor.Sign()))
}
