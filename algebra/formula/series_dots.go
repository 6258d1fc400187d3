package formula

import "squaremark/algebra/syntax"

// CloseAllDots writes every sum with dots as a sum over an index where its
// terms follow a rule. Terms that wrap round to the first members without a
// declared cycle stay as they are written: a_1 a_2 + ... + a_n a_1 is the sum
// of a_i a_{i+1} up to n - 1, and a_n a_1.
func CloseAllDots(n *syntax.Node, cycle string) *syntax.Node {
	if !HasSum(n) {
		return n
	}
	if n.Kind == syntax.Ellipsis && len(n.Kids) > 0 {
		if sum, ok := closeStraight(n, cycle); ok {
			return sum
		}
		if sum, ok := closeRound(n); ok {
			return sum
		}
	}
	out := *n
	out.Kids = make([]*syntax.Node, len(n.Kids))
	for i, k := range n.Kids {
		out.Kids[i] = CloseAllDots(k, cycle)
	}
	return &out
}

func closeStraight(n *syntax.Node, cycle string) (*syntax.Node, bool) {
	if sum, ok := CloseDots(n, cycle); ok {
		return sum, true
	}
	return closeTwo(n, cycle)
}

// closeRound reads dots that wrap round where no cycle is declared.
func closeRound(n *syntax.Node) (*syntax.Node, bool) {
	after := n.Kids[n.Split:]
	for _, size := range indexNames(after[len(after)-1]) {
		sum, ok := closeStraight(n, size)
		if !ok {
			continue
		}
		// The terms that wrap are those with a written index n + k, k > 0.
		wrapped := int64(0)
		for ; wrapped < int64(len(after)); wrapped++ {
			if term := at(sum.Kids[2], plus(sum.Kids[1], -wrapped)); !passes(term, size) {
				break
			}
		}
		if passes(at(sum.Kids[2], plus(sum.Kids[1], -wrapped)), size) {
			continue // not all terms that wrap are written
		}
		var total adder
		total.add(&syntax.Node{Kind: syntax.BigSum, Text: sum.Text, At: n.At, Kids: []*syntax.Node{sum.Kids[0], plus(sum.Kids[1], -wrapped), sum.Kids[2]}})
		for _, k := range after[int64(len(after))-wrapped:] {
			total.add(k)
		}
		return total.sum(), true
	}
	return nil, false
}

// ListedMembers reads a_1, a_2, ..., a_n > 0 as a_i > 0 for every i from 1 to
// n, the size.
func ListedMembers(n *syntax.Node, size string) (each *syntax.Node, index string, ok bool) {
	if n.Kind != syntax.Relation || n.Kids[0].Kind != syntax.List || n.Kids[0].Text == "or" {
		return nil, "", false
	}
	list := n.Kids[0].Kids
	dots := len(list) - 2
	if dots < 1 || list[dots].Kind != syntax.Ellipsis || len(list[dots].Kids) > 0 {
		return nil, "", false
	}
	terms := append(append([]*syntax.Node(nil), list[:dots]...), list[dots+1])
	sum, ok := closeStraight(&syntax.Node{Kind: syntax.Ellipsis, Split: dots, Kids: terms}, "")
	if !ok || sum.Kids[1].Kind != syntax.Name || sum.Kids[1].Text != size {
		return nil, "", false
	}
	out := *n
	out.Kids = append([]*syntax.Node{sum.Kids[2]}, n.Kids[1:]...)
	return &out, dotsIndex, true
}

// closeTwo reads dots between one first and one last term: a_1 + ... + a_n.
// Whatever differs grows by one from term to term; between two numbers that
// are not indices this is not taken for granted. Round a cycle an index may
// wrap: a_1 a_2 + ... + a_n a_1.
func closeTwo(n *syntax.Node, cycle string) (*syntax.Node, bool) {
	if len(n.Kids) != 2 || n.Split != 1 {
		return nil, false
	}
	var length *syntax.Node
	var join func(a, b *syntax.Node, index bool) (*syntax.Node, bool)
	join = func(a, b *syntax.Node, index bool) (*syntax.Node, bool) {
		nameA, x, okA := shifted(a)
		nameB, y, okB := shifted(b)
		if okA && okB {
			if nameA == nameB && x == y {
				return normal(a), true
			}
			if nameA != "" || nameB == "" && !index {
				return nil, false
			}
			if nameB == "" && y < x {
				nameB = cycle
			}
			l := plus(&syntax.Node{Kind: syntax.Name, Text: nameB}, y-x+1)
			if nameB == "" {
				l = numeral(y - x + 1)
			}
			if length != nil && !syntax.Equal(length, l) {
				return nil, false
			}
			length = l
			return plus(&syntax.Node{Kind: syntax.Name, Text: dotsIndex}, x-1), true
		}
		if a.Kind != b.Kind || a.Text != b.Text || len(a.Kids) != len(b.Kids) || len(a.Kids) == 0 {
			return nil, false
		}
		out := bare(a)
		for i := range a.Kids {
			k, ok := join(a.Kids[i], b.Kids[i], a.Kind == syntax.Name)
			if !ok {
				return nil, false
			}
			out.Kids[i] = k
		}
		return out, true
	}
	term, ok := join(n.Kids[0], n.Kids[1], false)
	if !ok || length == nil {
		return nil, false
	}
	return &syntax.Node{Kind: syntax.BigSum, Text: dotsIndex, At: n.At, Kids: []*syntax.Node{numeral(1), length, term}}, true
}

// passes reports an index n + k with k > 0.
func passes(n *syntax.Node, size string) bool {
	if n.Kind == syntax.Name && len(n.Kids) == 1 {
		name, k, ok := shifted(n.Kids[0])
		return ok && name == size && k > 0
	}
	for _, k := range n.Kids {
		if passes(k, size) {
			return true
		}
	}
	return false
}
