package algebra

import (
	"strings"

	"squaremark/algebra/formula"
	"squaremark/algebra/move"
	"squaremark/algebra/syntax"
)

// takeSumsApart prepares an argument about sums for every number of terms, and
// gives the assumptions that are relations as they stand. Moves then work on
// the atoms that the sums are written with; that is exact from some number of
// terms on, so every verdict is also asked of Relation, which looks at small
// numbers of terms one by one.
func (c *chain) takeSumsApart(vars []formula.Variable) ([]*syntax.Node, *Outcome) {
	general := c.claim.reading.general
	trees := []*syntax.Node{c.claim.root}
	for _, w := range c.lines {
		if w.root != nil {
			general = general || w.reading.general
			trees = append(trees, w.root)
		}
	}
	var given []*syntax.Node
	for _, a := range c.q.assume {
		general = general || a.general
		if a.general {
			trees = append(trees, a.sums)
		} else {
			given = append(given, a.root)
		}
	}
	if !general {
		return given, nil
	}
	sizes := formula.Sizes(vars, append(trees, given...)...)
	if len(sizes) != 1 {
		if len(sizes) > 1 {
			return nil, &Outcome{Reason: "sums with more than one number of terms are not decided"}
		}
		return given, nil
	}
	c.sums = formula.NewSums(vars, sizes[0], c.q.cycle == sizes[0], c.meter)
	for _, a := range c.q.assume {
		if !a.general {
			continue
		}
		if _, _, ok := formula.CycleOf(a.sums); ok {
			continue
		}
		if _, ok := formula.FreeIndex(a.sums, sizes[0]); ok {
			c.every = append(c.every, a.sums)
			continue
		}
		given = append(given, a.sums)
	}
	return given, nil
}

// scopeOf makes the scope of trees, their sums taken apart.
func (c *chain) scopeOf(vars []formula.Variable, trees []*syntax.Node) (*formula.Scope, error) {
	if c.sums == nil {
		return formula.NewScope(vars, c.meter, withoutRepeats(trees)...)
	}
	apart := make([]*syntax.Node, len(trees))
	for i, t := range trees {
		r, err := c.sums.Rewrite(t)
		if err != nil {
			return nil, err
		}
		apart[i] = r
	}
	return c.sums.Outer(append(apart, c.sums.SizeTree())...)
}

// withoutRepeats is what a scope needs of trees: each name and each root once,
// so that the ring of a long argument has no more variables than it needs.
func withoutRepeats(trees []*syntax.Node) []*syntax.Node {
	var list []*syntax.Node
	seen := map[string]bool{}
	var walk func(n *syntax.Node)
	walk = func(n *syntax.Node) {
		switch n.Kind {
		case syntax.Name, syntax.Root, syntax.Abs, syntax.BigSum, syntax.Ellipsis:
		case syntax.Pow:
			if n.Kids[1].Kind == syntax.Number && !strings.Contains(n.Kids[1].Text, ".") {
				walk(n.Kids[0])
				return
			}
		default:
			for _, k := range n.Kids {
				walk(k)
			}
			return
		}
		if text := syntax.Plain(n); !seen[text] {
			seen[text] = true
			list = append(list, n)
		}
	}
	for _, t := range trees {
		walk(t)
	}
	return list
}

// over makes a setting ready for sums.
func (c *chain) over(s *move.Setting) *move.Setting {
	if c.sums != nil {
		s.OverSums(c.sums, c.every...)
	}
	return s
}

// relationShare is the part of a question's work that is charged for deciding
// a step about sums, which has a meter of its own.
const relationShare = 10

// relation decides both directions of a step about sums.
func (j *judge) relation() {
	if j.meter.Spend(j.q.limits.Work / relationShare); j.meter.Exhausted() {
		j.link.forward = Outcome{Reason: j.meter.Err().Error()}
		j.link.backward = j.link.forward
		j.link.askedF, j.link.askedB = true, true
		return
	}
	r := j.q.Relation(j.from.spelled, j.to.spelled)
	j.link.forward, j.link.backward = r.Forward, r.Backward
	j.link.askedF, j.link.askedB = true, true
}

// differingSums is a number of terms and members at which left minus right is
// not the same in two lines.
func (j *judge) differingSums() *Witness {
	a, b := j.from.line.Atom, j.to.line.Atom
	text := func(great, small *move.Side) string {
		return "(" + syntax.Plain(great.Tree) + ") - (" + syntax.Plain(small.Tree) + ")"
	}
	left, right := text(a.Great(), a.Small()), text(b.Great(), b.Small())
	if strings.Contains(left+right, "•") {
		return nil // closed dots cannot be read again
	}
	return j.q.Identity(left, right).Witness
}
