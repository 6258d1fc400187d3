package formula

import (
	"strconv"

	"squaremark/algebra/syntax"
)

// span is the range of a sum: from lo to hi, or to n + hi.
type span struct {
	lo, hi int64
	toSize bool
}

// prefix is the sum of a body over the indices from 1 to i - 1, for every i:
// a family of its own, with the sums of m_j over j < i as members.
type prefix struct{ body body }

func (s *Sums) partialName(k int) string { return "Σ" + strconv.Itoa(k+1) }

// partialAt finds the prefix that a name stands for.
func (s *Sums) partialAt(n *syntax.Node) (prefix, bool) {
	for k, m := range s.partial {
		if n.Kind == syntax.Name && len(n.Kids) == 1 && n.Text == s.partialName(k) {
			return m, true
		}
	}
	return prefix{}, false
}

// partialOf is the family of the prefixes of a body.
func (s *Sums) partialOf(b body) string {
	key := b.key()
	for k, m := range s.partial {
		if m.body.key() == key {
			return s.partialName(k)
		}
	}
	s.partial = append(s.partial, prefix{b})
	return s.partialName(len(s.partial) - 1)
}

// upTo is the prefix at one number, or at n + k.
func (s *Sums) upTo(m prefix, name string, k int64) (*syntax.Node, error) {
	p := &splitting{Sums: s, place: m.body.tree(), index: -1}
	if name == s.Size {
		return p.ranged(m.body.tree(), Atom{}, nil, 1, k-1, false)
	}
	if k > maxEnds || k < 1-maxEnds {
		return nil, tooLarge(p.place)
	}
	var total adder
	for t := min(k, 1); t < max(k, 1); t++ {
		x, err := s.Rewrite(at(m.body.tree(), numeral(t)))
		if err != nil {
			return nil, err
		}
		if k < 1 {
			x = negative(x)
		}
		total.add(x)
	}
	return total.sum(), nil
}

// triangle rewrites an inner sum one of whose bounds is the index i of the sum
// around it, with a number added: Σ_{j<i}, Σ_{j≤i}, Σ_{j>i} and the like. ok
// is false for any other sum. Not round a cycle.
func (s *Sums) triangle(n *syntax.Node) (sum *syntax.Node, ok bool, err error) {
	from, lo, okLo := shifted(n.Kids[0])
	to, hi, okHi := shifted(n.Kids[1])
	if len(s.bound) == 0 || s.Cyclic || !okLo || !okHi {
		return nil, false, nil
	}
	outer, around := s.bound[len(s.bound)-1], s.ranges[len(s.ranges)-1]
	switch {
	case n.Text == outer || n.Text == s.Size || !around.toSize:
		return nil, false, nil
	case from == "" && to == outer && around.lo+hi-lo+1 >= 0:
		sum, err = s.part(n, outer, lo, hi)
		return sum, err == nil, err
	case from == outer && to == s.Size && around.lo+lo-1 >= 0 && around.hi+lo-1 <= hi:
		whole := *n
		whole.Kids = []*syntax.Node{numeral(1), n.Kids[1], n.Kids[2]}
		all, err := s.sum(&whole)
		if err != nil {
			return nil, false, err
		}
		first, err := s.part(n, outer, 1, lo-1)
		if err != nil {
			return nil, false, err
		}
		total := adder{all}
		total.sub(first)
		return total.sum(), true, nil
	}
	return nil, false, nil
}

// part is the sum of the body of n from lo to outer + hi.
func (s *Sums) part(n *syntax.Node, outer string, lo, hi int64) (*syntax.Node, error) {
	body, err := s.bodyOf(n, span{lo: lo, hi: hi})
	if err != nil {
		return nil, err
	}
	s.bodies = append(s.bodies, body)
	return s.splitUpTo(n, body, lo, hi, outer)
}

// valueUpTo is the sum of a body from p.lo to p.outer + p.hi: the prefix at
// the outer index, and single terms.
func (p *splitting) valueUpTo(b body) (*syntax.Node, error) {
	outer := &syntax.Node{Kind: syntax.Name, Text: p.outer}
	if len(b.factors) == 0 && b.den == nil && b.index >= 0 && b.index <= maxPowerSum {
		return powerSumTree(b.index, p.lo, plus(outer, p.hi)), nil
	}
	fixed := b.den != nil || b.index != 0 || p.hi > maxEnds || p.hi < -maxEnds || p.lo > maxEnds || p.lo < -maxEnds
	for _, f := range b.factors {
		_, inner := p.partialAt(f.node)
		fixed = fixed || inner || f.offset != 0 || f.power < 0 || f.root
	}
	if fixed {
		return nil, outside(p.place, "a sum up to the index of another is decided only for products of members at its index")
	}
	tree := b.tree()
	total := adder{member(p.partialOf(b), outer)}
	put := func(index *syntax.Node, add bool) {
		t := at(tree, index)
		if !add {
			t = negative(t)
		}
		total.add(t)
	}
	for t := min(p.lo, 1); t < max(p.lo, 1); t++ {
		put(numeral(t), p.lo < 1)
	}
	for t := min(p.hi+1, 0); t < max(p.hi+1, 0); t++ {
		put(plus(outer, t), p.hi+1 > 0)
	}
	return total.sum(), nil
}

// triangular gives Σ m_i·(Σ_{j<i} m'_j) over i from 1 to n in one way only:
// with one prefix m' the first by its text. ok is false for other bodies.
func (p *splitting) triangular(b body) (sum *syntax.Node, ok bool, err error) {
	var rest body
	var inner prefix
	found := 0
	for _, f := range b.factors {
		if m, is := p.partialAt(f.node); is && f.power == 1 {
			inner = m
			found++
			continue
		}
		if f.root {
			return nil, false, nil
		}
		rest.factors = append(rest.factors, f)
	}
	if found != 1 || b.den != nil || b.index != 0 {
		return nil, false, nil
	}
	for _, f := range rest.factors {
		if _, is := p.partialAt(f.node); is || f.offset != 0 || f.power < 0 {
			return nil, false, nil
		}
	}
	all := func(b body) *syntax.Node {
		if err != nil {
			return nil
		}
		var t *syntax.Node
		t, err = p.ranged(b.tree(), Atom{Weighted: b.index > 0}, nil, 1, 0, false)
		return t
	}
	var total adder
	switch a, c := rest.key(), inner.body.key(); {
	case len(rest.factors) == 0:
		// Each m_j stands n - j times.
		weighted := body{factors: inner.body.factors, index: 1}
		total.add(times(p.sizeNode(), all(inner.body)))
		total.sub(all(weighted))
	case a == c:
		s := all(rest)
		total.add(times(s, s))
		total.sub(all(rest.times(rest)))
		return over(total.sum(), numeral(2)), true, err
	case a > c:
		other := body{factors: append(append([]factor(nil), inner.body.factors...), factor{node: member(p.partialOf(rest), &syntax.Node{Kind: syntax.Name, Text: dotsIndex}), power: 1})}
		total.add(times(all(rest), all(inner.body)))
		total.sub(all(rest.times(inner.body)))
		total.sub(all(other))
	default:
		return nil, false, nil
	}
	return total.sum(), true, err
}

// times is the product of two bodies without index and denominator.
func (b body) times(c body) body {
	out := body{factors: append([]factor(nil), b.factors...)}
	for _, f := range c.factors {
		same := -1
		for i, g := range out.factors {
			if g.offset == f.offset && syntax.Equal(g.node, f.node) {
				same = i
			}
		}
		if same < 0 {
			out.factors = append(out.factors, f)
		} else {
			out.factors[same].power += f.power
		}
	}
	return out
}
