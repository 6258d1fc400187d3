package move

import (
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// step is a line that a move makes out of another one, with the ways to it and
// back.
type step struct {
	line              *Line
	forward, backward Way
	id                string
}

// twoMoves tries a line between the two: what squaring, clearing denominators
// or weakening makes of one of them.
func (p *Pair) twoMoves(j *Justification) {
	if _, _, ok := p.atoms(); !ok {
		return
	}
	for _, s := range p.next(p.From) {
		if p.Ring.Meter().Exhausted() {
			return
		}
		k := p.Between(s.line, p.To, p.Index, nil).direct()
		p.compose(j, s.forward, k.Forward, append([]string{s.id}, k.ForwardMoves...), k.Backward, s.backward)
	}
	for _, s := range p.next(p.To) {
		if p.Ring.Meter().Exhausted() {
			return
		}
		k := p.Between(p.From, s.line, p.Index, nil).direct()
		p.compose(j, k.Forward, s.backward, append(k.ForwardMoves[:len(k.ForwardMoves):len(k.ForwardMoves)], s.id), s.forward, k.Backward)
	}
}

// compose takes over a pair of ways through a line between, where they are
// proved and better than what is known.
func (p *Pair) compose(j *Justification, f1, f2 Way, ids []string, b1, b2 Way) {
	if len(ids) > 1 && ids[0] == ids[len(ids)-1] {
		return // there and back: a denominator exchanged for another
	}
	if !f1.Plain || !f2.Plain {
		f1 = Way{}
	}
	if !b1.Plain || !b2.Plain {
		b1 = Way{}
	}
	forward, backward := f1.both(f2), b1.both(b2)
	if forward.Status != Proved || backward.Status != Proved {
		forward.Plain, backward.Plain = false, false
	}
	if forward.Status == Proved && j.Forward.Status != Proved {
		j.Forward, j.ForwardMoves = forward, ids
	}
	if backward.Status == Proved && j.Backward.Status != Proved {
		j.Backward, j.BackwardMoves = backward, ids
	}
}

// next lists the lines that are made of one by squaring both sides, and by
// multiplying with every denominator written in it.
func (p *Pair) next(l *Line) []step {
	a := l.Atom
	if a.Sign == poly.Ne || max(a.Diff.Num.Degree(), a.Diff.Den.Degree()) > maxPower {
		return nil
	}
	var out []step
	two := &syntax.Node{Kind: syntax.Number, Text: "2"}
	power := func(n *syntax.Node) *syntax.Node { return &syntax.Node{Kind: syntax.Pow, Kids: []*syntax.Node{n, two}} }
	if sq, err := p.single(power(a.Left.Tree), power(a.Right.Tree), a.Rel); err == nil {
		if forward, backward, ok := p.squared(l, sq); ok {
			out = append(out, step{sq, forward, backward, squareBothSides.ID})
		}
	}
	under := denominators(a.Right.Tree, denominators(a.Left.Tree, nil))
	if len(under) == 0 {
		return out
	}
	times := func(n *syntax.Node) *syntax.Node {
		for _, d := range under {
			n = &syntax.Node{Kind: syntax.Mul, Kids: []*syntax.Node{n, d}}
		}
		return n
	}
	if cleared, err := p.single(times(a.Left.Tree), times(a.Right.Tree), a.Rel); err == nil {
		q := p.Between(l, cleared, p.Index, nil)
		if f := q.factor(); f.ok {
			out = append(out, step{cleared, f.forward, f.backward, clearDenominator.ID})
		}
	}
	return out
}

// denominators lists the different denominators with a variable in a written
// expression.
func denominators(n *syntax.Node, list []*syntax.Node) []*syntax.Node {
	if isQuotient(n) {
		d := n.Kids[1]
		for _, e := range list {
			if syntax.Equal(d, e) {
				return denominators(n.Kids[0], list)
			}
		}
		list = append(list, d)
	}
	for _, k := range n.Kids {
		list = denominators(k, list)
	}
	return list
}
