package formula

import "squaremark/algebra/syntax"

// leaf is what a ring variable of a body stands for.
type leaf struct {
	node   *syntax.Node
	member bool // it depends on •
	root   bool
	first  *syntax.Node // a member: the same with its least index •
	offset int64        // ... and how far it is from there
}

// leaves tells what the variables of a scope stand for; the node of a
// variable that does not occur in the trees is nil.
func (s *Scope) leaves(trees ...*syntax.Node) ([]leaf, error) {
	list := make([]leaf, s.Ring.Len())
	names := map[string]*syntax.Node{}
	var failure error
	var walk func(n *syntax.Node)
	walk = func(n *syntax.Node) {
		root := n
		switch n.Kind {
		case syntax.Name:
			names[nameOf(n)] = n
			return
		case syntax.Root, syntax.Abs:
		case syntax.Pow:
			root = s.rootIn(n)
		default:
			root = nil
		}
		for _, k := range n.Kids {
			walk(k)
		}
		if root == nil {
			return
		}
		f, err := s.Expression(root)
		if err != nil {
			failure = err
			return
		}
		if v, ok := s.Ring.OnlyVar(f.Num); ok && v >= len(s.Vars) && s.Ring.Equal(f.Num, s.Ring.Var(v)) {
			list[v].node, list[v].root = root, true
		}
	}
	for _, t := range trees {
		walk(t)
	}
	for i, v := range s.Vars {
		list[i].node = names[v.Name]
	}
	for _, y := range s.Symbols {
		if failure == nil && list[y.Var].node == nil {
			failure = outside(trees[0], "a root in a sum is not decided in this form")
		}
	}
	for i := range list {
		list[i].place()
	}
	return list, failure
}

// rootIn is the root that a power with a fractional exponent stands on.
func (s *Scope) rootIn(n *syntax.Node) *syntax.Node {
	e, err := s.Expression(n.Kids[1])
	if err != nil {
		return nil
	}
	v, ok := e.Value()
	if q, rational := v.Rat(); ok && rational && !q.IsInt() && q.Denom().IsInt64() {
		return &syntax.Node{Kind: syntax.Root, At: n.At, Kids: []*syntax.Node{n.Kids[0], numeral(q.Denom().Int64())}}
	}
	return nil
}

// place finds the least index • + k in a leaf.
func (l *leaf) place() {
	if l.node == nil || l.node.Kind == syntax.Name && len(l.node.Kids) == 0 {
		return
	}
	lo, _, ok := dotOffsets(l.node)
	if !ok {
		return
	}
	l.member, l.offset = true, lo
	l.first = at(l.node, plus(&syntax.Node{Kind: syntax.Name, Text: dotsIndex}, -lo))
}

// dotOffsets is the least and the greatest k in the • + k of a tree, be they
// indices or not.
func dotOffsets(n *syntax.Node) (lo, hi int64, ok bool) {
	if name, k, is := shifted(n); is {
		return k, k, name == dotsIndex
	}
	for _, k := range n.Kids {
		l, h, is := dotOffsets(k)
		switch {
		case !is:
		case !ok:
			lo, hi, ok = l, h, true
		default:
			lo, hi = min(lo, l), max(hi, h)
		}
	}
	return lo, hi, ok
}
