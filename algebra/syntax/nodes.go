package syntax

import (
	"strings"

	"squaremark/algebra/source"
)

// node takes a node from the slab. It is nil once the text is refused.
func (p *parser) node(k Kind, at source.Span) *Node {
	if p.err != nil {
		return nil
	}
	if p.left--; p.left < 0 {
		return p.fail(codeNodes, at, "the formula is too large", "")
	}
	if len(p.nodes) == cap(p.nodes) {
		p.nodes = make([]Node, 0, 32)
	}
	p.nodes = p.nodes[:len(p.nodes)+1]
	n := &p.nodes[len(p.nodes)-1]
	n.Kind, n.At = k, at
	return n
}

// leaf makes a node with a text and no kids.
func (p *parser) leaf(k Kind, at source.Span, text string) *Node {
	n := p.node(k, at)
	if n != nil {
		n.Text = text
	}
	return n
}

// room takes a slice of n kids from the slab.
func (p *parser) room(n int) []*Node {
	if len(p.kids)+n > cap(p.kids) {
		p.kids = make([]*Node, 0, max(32, n))
	}
	from := len(p.kids)
	p.kids = p.kids[:from+n]
	return p.kids[from : from+n : from+n]
}

// unary makes a node of one kid; like binary and listOf it takes kids that are
// nil after a problem.
func (p *parser) unary(k Kind, at source.Span, a *Node) *Node {
	if a == nil {
		return nil
	}
	n := p.node(k, at)
	if n != nil {
		n.Kids = p.room(1)
		n.Kids[0] = a
	}
	return n
}

// binary makes a node that spans its two kids.
func (p *parser) binary(k Kind, a, b *Node) *Node {
	if a == nil || b == nil {
		return nil
	}
	n := p.node(k, a.At.To(b.At))
	if n != nil {
		n.Kids = p.room(2)
		n.Kids[0], n.Kids[1] = a, b
	}
	return n
}

// listOf makes a node that spans its kids, which it copies.
func (p *parser) listOf(k Kind, kids []*Node) *Node {
	if p.err != nil || len(kids) == 0 {
		return nil
	}
	n := p.node(k, kids[0].At.To(kids[len(kids)-1].At))
	if n != nil {
		n.Kids = p.room(len(kids))
		copy(n.Kids, kids)
	}
	return n
}

// oneRel takes a slice of one sign of relation from the slab.
func (p *parser) oneRel(r Rel) []Rel {
	if len(p.rels) == cap(p.rels) {
		p.rels = make([]Rel, 0, 8)
	}
	from := len(p.rels)
	p.rels = append(p.rels, r)
	return p.rels[from : from+1 : from+1]
}

// Sets of kinds, for checks of what may stand where.
const (
	valueKinds   = 1<<Number | 1<<Name | 1<<Neg | 1<<Plus | 1<<Add | 1<<Sub | 1<<Mul | 1<<Div | 1<<Pow | 1<<Root | 1<<Abs | 1<<PlusMinus | 1<<BigSum | 1<<Ellipsis
	setKinds     = 1<<Set | 1<<Interval | 1<<Standard | 1<<Union | 1<<Intersection | 1<<Without | 1<<Compose
	formulaKinds = 1<<Relation | 1<<And | 1<<Or | 1<<In | 1<<Not | 1<<Implies | 1<<Iff
)

// is reports that the kind of n is in a set of kinds.
func is(n *Node, kinds uint64) bool { return kinds>>uint(n.Kind)&1 == 1 }

// infinite reports ∞ and -∞.
func infinite(n *Node) bool {
	return n.Kind == Infinity || n.Kind == Neg && n.Kids[0].Kind == Infinity
}

// value checks that n can be calculated with.
func (p *parser) value(n *Node) bool {
	switch {
	case n == nil || p.err != nil:
		return false
	case infinite(n):
		p.failInfinity(n)
		return false
	case is(n, valueKinds) && (n.Kind != Ellipsis || len(n.Kids) > 0):
		return true
	}
	p.fail(codeOperand, n.At, "expected a number or an expression, found "+what(n)+": "+quote(n.At.In(p.text)), "")
	return false
}

func (p *parser) failInfinity(n *Node) {
	p.fail(codeInfinity, n.At, "∞ is not a number: it can only be an end of an interval", "write x > 3 or (3, ∞)")
}

// what names the kind of a node in a message.
func what(n *Node) string {
	switch n.Kind {
	case Tuple:
		return "a tuple"
	case List:
		return "a list"
	case Interval:
		return "an interval"
	case None:
		return "an empty answer"
	case Ellipsis:
		return "dots"
	}
	switch {
	case is(n, setKinds):
		return "a set"
	case is(n, formulaKinds):
		return "a formula"
	}
	return "an expression"
}

// numberText is the exact decimal that a number token spells.
func (p *parser) numberText(t *token) string {
	s := p.text[t.start:t.end]
	switch {
	case t.level != onLine:
		return scriptDigits(s)
	case s[0] == '.':
		return "0" + s
	}
	if i := strings.IndexByte(s, ','); i >= 0 {
		return s[:i] + "." + s[i+1:]
	}
	return s
}
