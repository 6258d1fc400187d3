package move

import (
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// membership reads x ∈ S for a list of values, an interval or a union of them.
func (s *Setting) membership(n *syntax.Node) (*Line, bool, error) {
	if n.Negated {
		return nil, false, nil
	}
	l, err := s.within(n.Kids[0], n.Kids[1])
	if l == nil {
		return nil, false, err
	}
	l.Tree = n
	return l, true, err
}

func (s *Setting) within(a, set *syntax.Node) (*Line, error) {
	switch set.Kind {
	case syntax.Set, syntax.List:
		if len(set.Kids) == 0 {
			return nil, nil
		}
		return s.between(a, &syntax.Node{Kind: syntax.Set, Kids: set.Kids, At: set.At}, poly.Eq)
	case syntax.Union:
		kids := make([]*Line, len(set.Kids))
		for i, k := range set.Kids {
			l, err := s.within(a, k)
			if l == nil {
				return nil, err
			}
			kids[i] = l
		}
		return join(Either, kids), nil
	case syntax.Interval:
		return s.interval(a, set)
	}
	return nil, nil
}

func (s *Setting) interval(a, set *syntax.Node) (*Line, error) {
	var kids []*Line
	for i, end := range set.Kids {
		rel := [2]poly.Rel{poly.Ge, poly.Le}[i]
		if i == 0 && set.LeftOpen {
			rel = poly.Gt
		}
		if i == 1 && set.RightOpen {
			rel = poly.Lt
		}
		if infinite(end) {
			continue
		}
		l, err := s.single(a, end, rel)
		if err != nil {
			return nil, err
		}
		kids = append(kids, l)
	}
	if len(kids) == 0 {
		return nil, nil
	}
	return join(Both, kids), nil
}

func infinite(n *syntax.Node) bool {
	if n.Kind == syntax.Neg || n.Kind == syntax.Plus {
		n = n.Kids[0]
	}
	return n.Kind == syntax.Infinity
}

func hasPlusMinus(n *syntax.Node) bool {
	if n.Kind == syntax.PlusMinus {
		return true
	}
	for _, k := range n.Kids {
		if hasPlusMinus(k) {
			return true
		}
	}
	return false
}

// signed is the tree with every ± read as + (op Add) or as - (op Sub).
func signed(n *syntax.Node, op syntax.Kind) *syntax.Node {
	if !hasPlusMinus(n) {
		return n
	}
	out := *n
	out.Kids = make([]*syntax.Node, len(n.Kids))
	for i, k := range n.Kids {
		out.Kids[i] = signed(k, op)
	}
	if n.Kind == syntax.PlusMinus {
		out.Kind = op
		if len(out.Kids) == 1 {
			out.Kind = map[syntax.Kind]syntax.Kind{syntax.Add: syntax.Plus, syntax.Sub: syntax.Neg}[op]
		}
	}
	return &out
}
