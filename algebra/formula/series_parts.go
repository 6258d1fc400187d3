package formula

import (
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// Conjuncts lists statements that together say what n says: the parts of an
// "and", the single relations of a chain.
func Conjuncts(n *syntax.Node) []*syntax.Node {
	switch {
	case n.Kind == syntax.And:
		var list []*syntax.Node
		for _, k := range n.Kids {
			list = append(list, Conjuncts(k)...)
		}
		return list
	case n.Kind == syntax.Relation && len(n.Rels) > 1 && simple(n):
		var list []*syntax.Node
		for i, rel := range n.Rels {
			list = append(list, &syntax.Node{Kind: syntax.Relation, At: n.At, Kids: n.Kids[i : i+2], Rels: []syntax.Rel{rel}})
		}
		return list
	}
	return []*syntax.Node{n}
}

// simple reports a relation between expressions without ±.
func simple(n *syntax.Node) bool {
	for _, k := range n.Kids {
		switch k.Kind {
		case syntax.List, syntax.Set, syntax.Tuple:
			return false
		}
	}
	return !hasPlusMinus(n)
}

// Core lowers a statement; of one relation between two expressions it gives
// the relation alone and apart from it the conditions under which both are
// defined. Of any other statement the body has them inside as well.
func (s *Scope) Core(n *syntax.Node) (*Formula, []poly.Condition, error) {
	if n.Kind != syntax.Relation || len(n.Rels) != 1 || !simple(n) {
		st, err := s.Formula(n)
		return st.Body, st.Domain, err
	}
	left, err := s.Expression(n.Kids[0])
	if err != nil {
		return nil, nil, err
	}
	right, err := s.Expression(n.Kids[1])
	if err != nil {
		return nil, nil, err
	}
	body := s.compare(left.Fraction, right.Fraction, poly.Rel(n.Rels[0]), nil)
	return body, append(append([]poly.Condition(nil), left.Domain...), right.Domain...), nil
}
