package formula

import "squaremark/algebra/syntax"

// everywhere is an assumption for every index, written with • as the index
// and 0 as the least offset. Where it compares neighbours of one family it is
// an order of the family.
type everywhere struct {
	tree   *syntax.Node
	width  int64
	family string     // of an order
	rel    syntax.Rel // a_• rel a_{•+1}
}

// ForEvery adds an assumption that holds for every value of its index.
func (s *Sums) ForEvery(n *syntax.Node, index string) error {
	s.bound = append(s.bound, index)
	t, err := s.Rewrite(n)
	s.bound = s.bound[:len(s.bound)-1]
	if err != nil {
		return err
	}
	t = at(rename(t, index, dotsIndex), nil)
	lo, hi, _ := Offsets(t, dotsIndex)
	t = at(t, plus(&syntax.Node{Kind: syntax.Name, Text: dotsIndex}, -lo))
	e := everywhere{tree: t, width: hi - lo}
	e.order()
	s.conds = append(s.conds, e)
	return nil
}

// order reads a_i >= a_{i+1} and the like.
func (e *everywhere) order() {
	n := e.tree
	if n.Kind != syntax.Relation || len(n.Rels) != 1 || e.width != 1 || n.Rels[0] == syntax.Ne {
		return
	}
	a, b := n.Kids[0], n.Kids[1]
	if a.Kind != syntax.Name || b.Kind != syntax.Name || a.Text != b.Text || len(a.Kids) != 1 || len(b.Kids) != 1 {
		return
	}
	_, k, _ := shifted(a.Kids[0])
	e.family, e.rel = a.Text, n.Rels[0]
	if k == 1 {
		e.rel = [...]syntax.Rel{syntax.Eq: syntax.Eq, syntax.Lt: syntax.Gt, syntax.Le: syntax.Ge, syntax.Gt: syntax.Lt, syntax.Ge: syntax.Le}[e.rel]
	}
}

func member(family string, index *syntax.Node) *syntax.Node {
	return &syntax.Node{Kind: syntax.Name, Text: family, Kids: []*syntax.Node{index}}
}

func related(a *syntax.Node, rel syntax.Rel, b *syntax.Node) *syntax.Node {
	return &syntax.Node{Kind: syntax.Relation, Kids: []*syntax.Node{a, b}, Rels: []syntax.Rel{rel}}
}

// AtEnds is what the assumptions for every index say about the single members
// in rewritten texts, such as a_1 and a_n, for n ≥ from. An assumption about
// neighbours is not used round a cycle: whether it includes the step from a_n
// to a_1 is not clear from its text.
func (s *Sums) AtEnds(from int64, trees ...*syntax.Node) []*syntax.Node {
	type place struct {
		family string
		index  *syntax.Node
		name   string
		k      int64
	}
	var places []place
	known := map[string]bool{}
	for _, t := range trees {
		eachMember(t, func(family, index string, k int64) {
			if index != "" && index != s.Size || family == s.letter {
				return
			}
			p := place{family, numeral(k), index, k}
			if index != "" {
				p.index = plus(s.sizeNode(), k)
			}
			if text := syntax.Plain(member(family, p.index)); !known[text] {
				known[text] = true
				places = append(places, p)
			}
		})
	}
	var list []*syntax.Node
	for _, e := range s.conds {
		if e.width > 0 && s.Cyclic {
			continue
		}
		done := map[string]bool{}
		for _, p := range places {
			t := at(e.tree, p.index)
			present := true
			eachMember(t, func(family, index string, k int64) {
				present = present && (family == s.letter || known[syntax.Plain(member(family, s.indexAt(index, k)))])
			})
			if text := syntax.Plain(t); present && !done[text] {
				done[text] = true
				list = append(list, t)
			}
		}
		for _, p := range places {
			for _, q := range places {
				before := p.name == q.name && p.k < q.k || p.name == "" && q.name != "" && p.k <= from+q.k
				if e.family == "" || p.family != e.family || q.family != e.family || !before {
					continue
				}
				rel := e.rel
				if p.name != q.name && p.k == from+q.k {
					rel = loose(rel) // they are the same member for the least n
				}
				list = append(list, related(member(p.family, p.index), rel, member(q.family, q.index)))
			}
		}
	}
	return list
}

// loose is the order without strictness.
func loose(r syntax.Rel) syntax.Rel {
	switch r {
	case syntax.Lt:
		return syntax.Le
	case syntax.Gt:
		return syntax.Ge
	}
	return r
}

func (s *Sums) indexAt(name string, k int64) *syntax.Node {
	if name == "" {
		return numeral(k)
	}
	return plus(&syntax.Node{Kind: syntax.Name, Text: name}, k)
}
