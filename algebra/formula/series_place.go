package formula

import (
	"errors"
	"strings"

	"squaremark/algebra/budget"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// Place is a variable of a window at given running indices, or one of the
// outer scope, to be written out for one number of terms.
type Place struct {
	node *syntax.Node
	env  map[string]int64
}

// Place puts numbers in for the running indices in a variable of the window.
func (w *Window) Place(v int, at ...int64) Place {
	env := make(map[string]int64, len(at))
	for c, i := range at {
		env[w.index[c]] = i
	}
	return Place{w.leaves[v].node, env}
}

// OuterPlace is a variable of the outer scope, an atom as its sum.
func (s *Sums) OuterPlace(scope *Scope, v int) Place {
	if k := s.AtomAt(scope, v); k >= 0 {
		return Place{node: s.written(k)}
	}
	return Place{node: s.OuterNode(scope, v)}
}

// WriteOut gives every place for n terms, in one scope that lives on the
// meter m. It is made with Expand from the trees alone, so that it can check
// what was found by taking sums apart.
// Errors: those of Expand and Expression; a place without a tree.
func (s *Sums) WriteOut(n int64, m *budget.Meter, places []Place) (*Scope, []Fraction, error) {
	trees := make([]*syntax.Node, len(places))
	for i, p := range places {
		if p.node == nil {
			return nil, nil, errors.New("a root has no place")
		}
		t, err := s.expand(s.restore(p.node), n, p.env, m)
		if err != nil {
			return nil, nil, err
		}
		trees[i] = t
	}
	scope, err := NewScope(s.all(), m, trees...)
	if err != nil {
		return nil, nil, err
	}
	out := make([]Fraction, len(places))
	for i, t := range trees {
		f, err := scope.Expression(t)
		if err != nil {
			return nil, nil, err
		}
		out[i] = f.Fraction
	}
	return scope, out, m.Err()
}

func (s *Sums) expand(n *syntax.Node, size int64, env map[string]int64, m *budget.Meter) (*syntax.Node, error) {
	values := map[string]int64{s.Size: size}
	for k, v := range env {
		values[k] = v
	}
	set := Setting{Values: values}
	if s.Cyclic {
		set.Cycle = s.Size
	}
	return Expand(n, set, m)
}

// Same checks that a rewritten text says for n terms what the text says: both
// are written out, and the sides of their relations compared as fractions.
// Errors: the first difference; what WriteOut reports.
func (s *Sums) Same(n int64, m *budget.Meter, text, rewritten *syntax.Node) error {
	back := s.restore(rewritten)
	a, err := s.expand(text, n, nil, m)
	if err != nil {
		return err
	}
	b, err := s.expand(back, n, nil, m)
	if err != nil {
		return err
	}
	scope, err := NewScope(s.all(), m, a, b)
	if err != nil {
		return err
	}
	if err := scope.sameSides(a, b); err != nil {
		return err
	}
	return m.Err()
}

var errDifferent = errors.New("the rewritten text differs from the text")

func (s *Scope) sameSides(a, b *syntax.Node) error {
	switch {
	case a.Kind == syntax.Relation || a.Kind == syntax.And || a.Kind == syntax.Or || a.Kind == syntax.Not || a.Kind == syntax.Implies || a.Kind == syntax.Iff || a.Kind == syntax.List:
		if a.Kind != b.Kind || len(a.Kids) != len(b.Kids) {
			return errDifferent
		}
		for i := range a.Kids {
			if err := s.sameSides(a.Kids[i], b.Kids[i]); err != nil {
				return err
			}
		}
		return nil
	case syntax.Equal(a, b):
		return nil
	}
	x, err := s.Expression(a)
	if err != nil {
		return err
	}
	y, err := s.Expression(b)
	if err != nil {
		return err
	}
	if !s.same(x.Fraction, y.Fraction) {
		return errDifferent
	}
	return nil
}

// restore puts the sums back for the atoms and prefixes of a rewritten text.
func (s *Sums) restore(n *syntax.Node) *syntax.Node {
	if n.Kind == syntax.Name {
		if n.Text == s.letter && len(n.Kids) == 1 {
			if _, k, ok := shifted(n.Kids[0]); ok && k >= 1 && k <= int64(len(s.Atoms)) {
				return s.written(int(k - 1))
			}
		}
		if m, ok := s.partialAt(n); ok {
			return &syntax.Node{Kind: syntax.BigSum, Text: dotsIndex, Kids: []*syntax.Node{numeral(1), plus(n.Kids[0], -1), m.body.tree()}}
		}
		return n
	}
	if len(n.Kids) == 0 {
		return n
	}
	out := *n
	out.Kids = make([]*syntax.Node, len(n.Kids))
	for i, k := range n.Kids {
		out.Kids[i] = s.restore(k)
	}
	return &out
}

// Put gives each variable of a polynomial f in the ring of from a fraction in
// s, and is the value of f there.
func (s *Scope) Put(from *poly.Ring, f poly.Poly, value func(v int) Fraction) Fraction {
	total := s.constant(number.Num{})
	from.Each(f, func(exps []uint8, c number.Num) bool {
		term := s.constant(c)
		for v, e := range exps {
			if e > 0 {
				x := value(v)
				term = s.mul(term, Fraction{s.Ring.Pow(x.Num, int(e)), s.Ring.Pow(x.Den, int(e))})
			}
		}
		total = s.add(total, term)
		return true
	})
	return total
}

// Plus is a + b.
func (s *Scope) Plus(a, b Fraction) Fraction { return s.add(a, b) }

// Times is a·b.
func (s *Scope) Times(a, b Fraction) Fraction { return s.mul(a, b) }

// Equal reports a = b as fractions.
func (s *Scope) Equal(a, b Fraction) bool { return s.same(a, b) }

// splitName takes a_{n+1} apart.
func splitName(name string) (family string, index *syntax.Node, ok bool) {
	family, rest, ok := strings.Cut(name, "_")
	if !ok {
		return "", nil, false
	}
	rest = strings.TrimSuffix(strings.TrimPrefix(rest, "{"), "}")
	r, bad := syntax.Read(rest, budget.New(budget.Default()))
	if bad != nil {
		return "", nil, false
	}
	return family, r.Root, true
}
