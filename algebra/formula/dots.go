package formula

import (
	"strconv"

	"squaremark/algebra/number"
	"squaremark/algebra/syntax"
)

// dotsIndex is the index of a sum that dots stand for. No pupil can type it.
const dotsIndex = "•"

// CloseDots reads a sum written with dots as one sum: the general term is
// what the first two terms have in common, with every index and number that
// grows from one to the next growing on; the last term tells how far. In
// a_1 a_2 + a_2 a_3 + ... + a_n a_1 the last term wraps round, which is
// allowed when the length, here n, is that of a declared cycle. ok is false
// when the terms follow no such rule.
//
// Cost: linear in the terms. Source: elementary.
func CloseDots(n *syntax.Node, cycle string) (sum *syntax.Node, ok bool) {
	if n.Kind != syntax.Ellipsis || n.Split < 2 || len(n.Kids) <= n.Split {
		return nil, false
	}
	term, ok := general(n.Kids[0], n.Kids[1])
	if !ok {
		return nil, false
	}
	for k := 2; k < n.Split; k++ {
		if !syntax.Equal(at(term, numeral(int64(k)+1)), normal(n.Kids[k])) {
			return nil, false
		}
	}
	after := n.Kids[n.Split:]
	length, ok := lengthOf(term, after[len(after)-1], cycle)
	if !ok {
		return nil, false
	}
	for i, k := range after {
		back := int64(len(after) - 1 - i)
		if !syntax.Equal(wrap(at(term, minus(length, back)), cycle), wrap(normal(k), cycle)) {
			return nil, false
		}
	}
	return &syntax.Node{Kind: syntax.BigSum, Text: dotsIndex, At: n.At, Kids: []*syntax.Node{numeral(1), length, term}}, true
}

func numeral(k int64) *syntax.Node {
	if k < 0 {
		return &syntax.Node{Kind: syntax.Neg, Kids: []*syntax.Node{numeral(-k)}}
	}
	return &syntax.Node{Kind: syntax.Number, Text: strconv.FormatInt(k, 10)}
}

// minus is n - k as a pupil would write it.
func minus(n *syntax.Node, k int64) *syntax.Node { return plus(n, -k) }

// plus is n + k in normal form: a numeral, a name, or name ± numeral.
func plus(n *syntax.Node, k int64) *syntax.Node {
	name, c, ok := shifted(n)
	if !ok {
		return n
	}
	k += c
	switch {
	case name == "":
		return numeral(k)
	case k == 0:
		return &syntax.Node{Kind: syntax.Name, Text: name}
	case k < 0:
		return &syntax.Node{Kind: syntax.Sub, Kids: []*syntax.Node{{Kind: syntax.Name, Text: name}, numeral(-k)}}
	}
	return &syntax.Node{Kind: syntax.Add, Kids: []*syntax.Node{{Kind: syntax.Name, Text: name}, numeral(k)}}
}

// shifted reads name + k, name - k, name or k.
func shifted(n *syntax.Node) (name string, k int64, ok bool) {
	switch n.Kind {
	case syntax.Number:
		v, isNumber := number.Parse(n.Text)
		if !isNumber {
			return "", 0, false
		}
		k, ok = v.Int64()
		return "", k, ok
	case syntax.Name:
		return n.Text, 0, len(n.Kids) == 0
	case syntax.Neg:
		name, k, ok = shifted(n.Kids[0])
		return "", -k, ok && name == ""
	case syntax.Add, syntax.Sub:
		a, x, okA := shifted(n.Kids[0])
		b, y, okB := shifted(n.Kids[1])
		if n.Kind == syntax.Sub {
			y = -y
			okB = okB && b == ""
		}
		if a != "" && b != "" {
			return "", 0, false
		}
		return a + b, x + y, okA && okB
	}
	return "", 0, false
}

// normal brings the indices and brackets of a term into one spelling, so that
// terms can be compared as trees.
func normal(n *syntax.Node) *syntax.Node { return at(n, nil) }

// at replaces the index of a general term by a value (nil leaves it) and
// brings every index into normal form.
func at(n *syntax.Node, value *syntax.Node) *syntax.Node {
	if n.Kind == syntax.Name && len(n.Kids) == 0 {
		if n.Text == dotsIndex && value != nil {
			return value
		}
		return &syntax.Node{Kind: syntax.Name, Text: n.Text}
	}
	if _, _, ok := shifted(n); ok && (n.Kind == syntax.Add || n.Kind == syntax.Sub) {
		return plus(substituteName(n, value), 0)
	}
	out := bare(n)
	for i, k := range n.Kids {
		out.Kids[i] = at(k, value)
	}
	if v, ok := evaluate(out); ok {
		return numeral(v)
	}
	return out
}

// bare is a copy of one node without its place and spelling, with room for
// its kids.
func bare(n *syntax.Node) *syntax.Node {
	out := *n
	out.At, out.Grouped, out.Implicit = syntax.Node{}.At, false, false
	out.Kids = make([]*syntax.Node, len(n.Kids))
	return &out
}

func substituteName(n *syntax.Node, value *syntax.Node) *syntax.Node {
	name, k, _ := shifted(n)
	if name == dotsIndex && value != nil {
		return plus(value, k)
	}
	return plus(n, 0)
}

// general is the term of which a is the first and b the second: numbers that
// differ by a step d become a + d(i - 1).
func general(a, b *syntax.Node) (*syntax.Node, bool) {
	nameA, x, okA := shifted(a)
	nameB, y, okB := shifted(b)
	if okA && okB && nameA == nameB {
		switch {
		case x == y:
			return normal(a), true
		case nameA != "":
			return nil, false
		case y-x == 1:
			return plus(&syntax.Node{Kind: syntax.Name, Text: dotsIndex}, x-1), true
		}
		step := &syntax.Node{Kind: syntax.Mul, Kids: []*syntax.Node{numeral(y - x), {Kind: syntax.Name, Text: dotsIndex}}}
		if x == y-x {
			return step, true
		}
		rest := x - (y - x)
		if rest < 0 {
			return &syntax.Node{Kind: syntax.Sub, Kids: []*syntax.Node{step, numeral(-rest)}}, true
		}
		return &syntax.Node{Kind: syntax.Add, Kids: []*syntax.Node{step, numeral(rest)}}, true
	}
	if a.Kind != b.Kind || a.Text != b.Text || len(a.Kids) != len(b.Kids) {
		return nil, false
	}
	out := bare(a)
	for i := range a.Kids {
		k, ok := general(a.Kids[i], b.Kids[i])
		if !ok {
			return nil, false
		}
		out.Kids[i] = k
	}
	return out, true
}

// lengthOf finds the index at which the general term is the last one written:
// n, n - 1, or a number.
func lengthOf(term, last *syntax.Node, cycle string) (*syntax.Node, bool) {
	var candidates []*syntax.Node
	var collect func(n *syntax.Node)
	collect = func(n *syntax.Node) {
		if _, _, ok := shifted(n); ok {
			for d := int64(-2); d <= 2; d++ {
				candidates = append(candidates, plus(n, d))
			}
			return
		}
		for _, k := range n.Kids {
			collect(k)
		}
	}
	collect(last)
	want := wrap(normal(last), cycle)
	for _, c := range candidates {
		if syntax.Equal(wrap(at(term, c), cycle), want) {
			return c, true
		}
	}
	for k := int64(1); k <= maxTermsOfSum; k++ {
		if syntax.Equal(at(term, numeral(k)), want) {
			return numeral(k), true
		}
	}
	return nil, false
}

// evaluate is the value of a small whole-number expression.
func evaluate(n *syntax.Node) (int64, bool) {
	if name, k, ok := shifted(n); ok {
		return k, name == ""
	}
	if len(n.Kids) != 2 {
		return 0, false
	}
	a, okA := evaluate(n.Kids[0])
	b, okB := evaluate(n.Kids[1])
	if !okA || !okB {
		return 0, false
	}
	const most = 1 << 31
	if a > most || a < -most || b > most || b < -most {
		return 0, false
	}
	switch n.Kind {
	case syntax.Add:
		return a + b, true
	case syntax.Sub:
		return a - b, true
	case syntax.Mul:
		return a * b, true
	}
	return 0, false
}

// wrap writes the indices n + k of a declared cycle of length n as k.
func wrap(n *syntax.Node, cycle string) *syntax.Node {
	if cycle == "" {
		return n
	}
	if n.Kind == syntax.Name && len(n.Kids) == 1 {
		if name, k, ok := shifted(n.Kids[0]); ok && name == cycle && k > 0 {
			return &syntax.Node{Kind: syntax.Name, Text: n.Text, Kids: []*syntax.Node{numeral(k)}}
		}
		return n
	}
	out := *n
	out.Kids = make([]*syntax.Node, len(n.Kids))
	for i, k := range n.Kids {
		out.Kids[i] = wrap(k, cycle)
	}
	return &out
}
