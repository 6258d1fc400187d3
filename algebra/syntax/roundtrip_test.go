package syntax

import (
	"testing"

	"squaremark/algebra/budget"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// forest draws random trees of every kind.
type forest struct{ t *rapid.T }

func (f forest) pick(n int) int { return rapid.IntRange(0, n-1).Draw(f.t, "pick") }

func (f forest) of(list ...string) string { return list[f.pick(len(list))] }

func (f forest) many(least int, draw func() *Node) []*Node {
	kids := make([]*Node, least+f.pick(3))
	for i := range kids {
		kids[i] = draw()
	}
	return kids
}

func (f forest) letter() string {
	return f.of("a", "b", "c", "i", "n", "x", "y", "s", "o", "r", "u", "m", "e", "p", "U", "R", "alpha", "xi", "pi", "Sigma", "sigma")
}

func (f forest) number() *Node {
	return &Node{Kind: Number, Text: f.of("0", "1", "2", "3", "7", "12", "40", "0.5", "2.75")}
}

func (f forest) name(d int) *Node {
	n := &Node{Kind: Name, Text: f.letter()}
	if f.pick(3) == 0 {
		n.Kids = []*Node{f.value(d - 2)}
		if n.Kids[0].Kind == Number {
			n.Kids[0].Text = f.of("0", "1", "12")
		}
	}
	return n
}

func (f forest) value(d int) *Node {
	if d <= 0 {
		if f.pick(2) == 0 {
			return f.number()
		}
		return &Node{Kind: Name, Text: f.letter()}
	}
	v := func() *Node { return f.value(d - 1) }
	switch k := f.pick(16); k {
	case 0:
		return f.number()
	case 1, 2:
		return f.name(d)
	case 3:
		return &Node{Kind: Neg, Kids: []*Node{v()}}
	case 4:
		return &Node{Kind: Plus, Kids: []*Node{v()}}
	case 5:
		return &Node{Kind: Abs, Kids: []*Node{v()}}
	case 6:
		return &Node{Kind: PlusMinus, Kids: []*Node{v()}}
	case 7:
		return &Node{Kind: BigSum, Text: f.letter(), Kids: []*Node{v(), v(), v()}}
	case 8:
		kids := f.many(2, v)
		return &Node{Kind: Ellipsis, Kids: kids, Split: 1 + f.pick(len(kids)-1)}
	case 9:
		return &Node{Kind: Root, Kids: []*Node{v(), {Kind: Number, Text: f.of("2", "3")}}}
	default:
		kind := []Kind{Add, Sub, Mul, Div, Pow, PlusMinus, Root, Mul}[k-8]
		return &Node{Kind: kind, Implicit: kind == Mul && f.pick(3) > 0, Kids: []*Node{v(), v()}}
	}
}

func (f forest) set(d int) *Node {
	v := func() *Node { return f.value(d - 1) }
	s := func() *Node { return f.set(d - 1) }
	k := f.pick(8)
	if d <= 0 {
		k %= 3
	}
	switch k {
	case 0:
		return &Node{Kind: Standard, Text: f.of("R", "Z", "N", "Q")}
	case 1:
		n := &Node{Kind: Interval, Kids: []*Node{v(), v()}, LeftOpen: f.pick(2) == 0, RightOpen: f.pick(2) == 0}
		if n.LeftOpen && f.pick(3) == 0 {
			n.Kids[0] = &Node{Kind: Neg, Kids: []*Node{{Kind: Infinity}}}
		}
		if n.RightOpen && f.pick(3) == 0 {
			n.Kids[1] = &Node{Kind: Infinity}
		}
		return n
	case 2:
		return &Node{Kind: Set, Kids: f.elements(d, f.pick(2))}
	case 3:
		return &Node{Kind: Union, Kids: f.many(2, s)}
	case 4:
		return &Node{Kind: Intersection, Kids: f.many(2, s)}
	case 5:
		return &Node{Kind: Without, Kids: []*Node{s(), s()}}
	case 6:
		return &Node{Kind: Compose, Kids: []*Node{f.name(d - 1), f.formula(d - 1)}}
	}
	return &Node{Kind: Compose, Kids: []*Node{{Kind: In, Kids: []*Node{f.name(d - 1), s()}}, f.formula(d - 1)}}
}

// elements draws the elements of a list, tuple or set, perhaps with dots.
func (f forest) elements(d, least int) []*Node {
	kids := f.many(least, func() *Node {
		if d > 1 && f.pick(4) == 0 {
			return &Node{Kind: Tuple, Kids: f.elements(d-2, 2)}
		}
		return f.value(d - 1)
	})
	if len(kids) >= 2 && f.pick(4) == 0 {
		last := len(kids) - 1
		kids = append(append(kids[:last:last], &Node{Kind: Ellipsis}), kids[last])
	}
	return kids
}

// operand draws a side of a relation.
func (f forest) operand(d int) *Node {
	switch f.pick(8) {
	case 0:
		return &Node{Kind: Tuple, Kids: f.elements(d-1, 2)}
	case 1:
		return f.set(d - 1)
	}
	return f.value(d - 1)
}

// names draws a list that stands left of a relation.
func (f forest) names(d int) *Node {
	return &Node{Kind: List, Text: f.of("", "and", "or"), Kids: f.many(2, func() *Node { return f.name(d) })}
}

func (f forest) list(d int) *Node {
	return &Node{Kind: List, Text: f.of("", "or", "and"), Kids: f.elements(d, 2)}
}

func (f forest) formula(d int) *Node {
	s := func() *Node { return f.formula(d - 1) }
	k := f.pick(10)
	if d <= 0 {
		k %= 4
	}
	switch k {
	case 0, 1, 2:
		kids := f.many(2, func() *Node { return f.operand(d) })
		n := &Node{Kind: Relation, Kids: kids}
		for range kids[1:] {
			n.Rels = append(n.Rels, Rel(f.pick(6)))
		}
		if f.pick(6) == 0 {
			kids[0] = f.names(d - 1)
		}
		if last := len(kids) - 1; n.Rels[last-1] <= Ne && f.pick(3) == 0 {
			kids[last] = f.list(d - 1)
		}
		return n
	case 3:
		n := &Node{Kind: In, Negated: f.pick(2) == 0, Kids: []*Node{f.operand(d), f.set(d - 1)}}
		if f.pick(4) == 0 {
			n.Kids[0] = f.names(d - 1)
		}
		return n
	case 4, 5:
		return &Node{Kind: And, Text: f.of("", ",", ";"), Kids: f.many(2, s)}
	case 6, 7:
		return &Node{Kind: Or, Kids: f.many(2, s)}
	case 8:
		return &Node{Kind: Not, Kids: []*Node{s()}}
	}
	return &Node{Kind: []Kind{Implies, Iff}[f.pick(2)], Kids: []*Node{s(), s()}}
}

// answer draws anything a whole text may say.
func (f forest) answer() *Node {
	d := 1 + f.pick(4)
	switch f.pick(8) {
	case 0:
		return f.value(d)
	case 1:
		return f.set(d)
	case 2:
		return f.list(d)
	case 3:
		return &Node{Kind: Tuple, Kids: f.elements(d, 2)}
	case 4:
		return &Node{Kind: None}
	}
	return f.formula(d)
}

func roomy() *budget.Meter {
	l := budget.Default()
	l.Bytes, l.Depth, l.Nodes = 100_000, 1000, 100_000
	return budget.New(l)
}

// What the printers print reads back to the same tree, for trees of every
// kind.
func TestPrintedTreesReadBack(t *testing.T) {
	for name, print := range map[string]func(*Node) string{"Plain": Plain, "LaTeX": LaTeX} {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				n := forest{t}.answer()
				text := print(n)
				r, d := Read(text, roomy())
				require.Nil(t, d, "%s: %v", text, d)
				require.True(t, Equal(n, r.Root), "%s reads back as %s", text, print(r.Root))
			})
		})
	}
}

// Printing is settled after one round: a printed text prints as itself.
func TestPrintingIsStable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := Plain(forest{t}.answer())
		r, d := Read(text, roomy())
		require.Nil(t, d)
		require.Equal(t, text, Plain(r.Root))
	})
}
