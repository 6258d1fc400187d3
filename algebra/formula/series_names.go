package formula

import (
	"sort"

	"squaremark/algebra/syntax"
)

// indexNames lists the names that stand in indices of n.
func indexNames(n *syntax.Node) []string {
	found := map[string]bool{}
	eachMember(n, func(_, index string, _ int64) { found[index] = true })
	return sorted(found)
}

func sorted(set map[string]bool) []string {
	var list []string
	for name := range set {
		if name != "" {
			list = append(list, name)
		}
	}
	sort.Strings(list)
	return list
}

// eachMember visits a_{name+k} as (a, name, k), wherever the index is of this
// form.
func eachMember(n *syntax.Node, visit func(family, index string, k int64)) {
	if n.Kind == syntax.Name && len(n.Kids) == 1 {
		if name, k, ok := shifted(n.Kids[0]); ok {
			visit(n.Text, name, k)
		}
	}
	for _, k := range n.Kids {
		eachMember(k, visit)
	}
}

// Sizes lists the names that stand for a number of terms: those in the bounds
// of sums, and those in indices that are declared.
func Sizes(vars []Variable, trees ...*syntax.Node) []string {
	found, declared := map[string]bool{}, map[string]bool{}
	for _, v := range vars {
		declared[v.Name] = true
	}
	var walk func(n *syntax.Node, bound []string, inBounds, inIndex bool)
	walk = func(n *syntax.Node, bound []string, inBounds, inIndex bool) {
		switch {
		case n.Kind == syntax.Name && len(n.Kids) == 0:
			if (inBounds || inIndex && declared[n.Text]) && !contains(bound, n.Text) {
				found[n.Text] = true
			}
		case n.Kind == syntax.BigSum:
			walk(n.Kids[0], bound, true, false)
			walk(n.Kids[1], bound, true, false)
			walk(n.Kids[2], append(append([]string(nil), bound...), n.Text), inBounds, inIndex)
		default:
			for _, k := range n.Kids {
				walk(k, bound, inBounds, inIndex || n.Kind == syntax.Name)
			}
		}
	}
	for _, t := range trees {
		walk(t, nil, false, false)
		if _, size, ok := CycleOf(t); ok {
			found[size] = true
		}
	}
	return sorted(found)
}

func contains(list []string, x string) bool {
	for _, y := range list {
		if x == y {
			return true
		}
	}
	return false
}

// CycleOf reads a_{n+1} = a_1, which declares that the family a runs round a
// cycle of n members.
func CycleOf(n *syntax.Node) (family, size string, ok bool) {
	if n.Kind != syntax.Relation || len(n.Rels) != 1 || n.Rels[0] != syntax.Eq {
		return "", "", false
	}
	for i := range 2 {
		a, b := n.Kids[i], n.Kids[1-i]
		if a.Kind != syntax.Name || b.Kind != syntax.Name || a.Text != b.Text || len(a.Kids) != 1 || len(b.Kids) != 1 {
			return "", "", false
		}
		name, k, okA := shifted(a.Kids[0])
		first, one, okB := shifted(b.Kids[0])
		if okA && okB && name != "" && first == "" && k == 1 && one == 1 {
			return a.Text, name, true
		}
	}
	return "", "", false
}

// FreeIndex is the one index of a text that no sum binds and that is not a
// number of terms: the text is meant for every value of it.
func FreeIndex(n *syntax.Node, size string) (string, bool) {
	found := map[string]bool{}
	var walk func(n *syntax.Node, bound []string)
	walk = func(n *syntax.Node, bound []string) {
		if n.Kind == syntax.Name && len(n.Kids) == 1 {
			if name, _, ok := shifted(n.Kids[0]); ok && name != "" && name != size && !contains(bound, name) {
				found[name] = true
			}
		}
		if n.Kind == syntax.BigSum {
			bound = append(append([]string(nil), bound...), n.Text)
		}
		for _, k := range n.Kids {
			walk(k, bound)
		}
	}
	walk(n, nil)
	if names := sorted(found); len(names) == 1 {
		return names[0], true
	}
	return "", false
}

// Families lists the indexed families of the texts.
func Families(trees ...*syntax.Node) []string {
	found := map[string]bool{}
	var walk func(n *syntax.Node)
	walk = func(n *syntax.Node) {
		if n.Kind == syntax.Name && len(n.Kids) == 1 {
			found[n.Text] = true
		}
		for _, k := range n.Kids {
			walk(k)
		}
	}
	for _, t := range trees {
		walk(t)
	}
	return sorted(found)
}

// Span is the least and the greatest index in texts without sums, at least
// lo and hi.
func Span(lo, hi int64, trees ...*syntax.Node) (int64, int64) {
	for _, t := range trees {
		eachMember(t, func(_, index string, k int64) {
			if index == "" {
				lo, hi = min(lo, k), max(hi, k)
			}
		})
	}
	return lo, hi
}

// Offsets is the least and the greatest k in the indices i + k of one name.
func Offsets(n *syntax.Node, name string) (lo, hi int64, ok bool) {
	eachMember(n, func(_, index string, k int64) {
		switch {
		case index != name:
		case !ok:
			lo, hi, ok = k, k, true
		default:
			lo, hi = min(lo, k), max(hi, k)
		}
	})
	return lo, hi, ok
}

// Shifted is the text with a name increased: n replaced by n + k.
func Shifted(n *syntax.Node, name string, k int64) *syntax.Node {
	return at(replace(n, name, plus(&syntax.Node{Kind: syntax.Name, Text: name}, k)), nil)
}

// rename replaces a free name by another.
func rename(n *syntax.Node, name, to string) *syntax.Node {
	return replace(n, name, &syntax.Node{Kind: syntax.Name, Text: to})
}

// replace puts a tree in for a free name.
func replace(n *syntax.Node, name string, value *syntax.Node) *syntax.Node {
	if n.Kind == syntax.Name && len(n.Kids) == 0 {
		if n.Text == name {
			return value
		}
		return n
	}
	if len(n.Kids) == 0 {
		return n
	}
	out := *n
	out.Kids = make([]*syntax.Node, len(n.Kids))
	for i, k := range n.Kids {
		if n.Kind == syntax.BigSum && n.Text == name && i == 2 {
			out.Kids[i] = k
			continue
		}
		out.Kids[i] = replace(k, name, value)
	}
	return &out
}

// HasOpenIndex reports an index that is not a number.
func HasOpenIndex(n *syntax.Node) bool {
	if n.Kind == syntax.Name {
		return len(n.Kids) == 1 && n.Kids[0].Kind != syntax.Number
	}
	for _, k := range n.Kids {
		if HasOpenIndex(k) {
			return true
		}
	}
	return false
}

// NamesIn lists all names in a text, families by their letter.
func NamesIn(n *syntax.Node) []string {
	found := map[string]bool{}
	var walk func(n *syntax.Node)
	walk = func(n *syntax.Node) {
		if n.Kind == syntax.Name {
			found[n.Text] = true
		}
		for _, k := range n.Kids {
			walk(k)
		}
	}
	walk(n)
	return sorted(found)
}

// HasRoot reports a root, a modulus or a fractional power.
func HasRoot(n *syntax.Node) bool {
	if n.Kind == syntax.Root || n.Kind == syntax.Abs || n.Kind == syntax.Pow && n.Kids[1].Kind == syntax.Div {
		return true
	}
	for _, k := range n.Kids {
		if HasRoot(k) {
			return true
		}
	}
	return false
}

// CheckNames finds a name in a text with sums that is neither declared, nor
// the index of a sum, nor an index for every value of which the text is meant.
// Errors: a *source.Diag at its place.
func CheckNames(vars []Variable, n *syntax.Node) error {
	known := map[string]bool{}
	for _, v := range vars {
		known[v.Name] = true
	}
	eachMember(n, func(_, index string, _ int64) { known[index] = true })
	var walk func(n *syntax.Node, bound []string) error
	walk = func(n *syntax.Node, bound []string) error {
		if n.Kind == syntax.Name {
			declared := known[nameOf(n)] || contains(bound, n.Text)
			if len(n.Kids) == 1 {
				declared = known[nameOf(n)] || known[n.Text+"_i"]
			}
			if !declared {
				return unknownVariable(n, nameOf(n))
			}
		}
		if n.Kind == syntax.BigSum {
			bound = append(append([]string(nil), bound...), n.Text)
		}
		for _, k := range n.Kids {
			if err := walk(k, bound); err != nil {
				return err
			}
		}
		return nil
	}
	return walk(n, nil)
}
