package move

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// Shape says how a Line is put together.
type Shape uint8

// The shapes of a line.
const (
	Single  Shape = iota // one relation
	Both                 // all Kids hold
	Either               // some Kid holds
	Nothing              // "no solutions"
	Opaque               // only Body is known
)

// Line is a formula taken apart into relations between two expressions.
// Body says the same for package decide.
type Line struct {
	Tree  *syntax.Node
	Shape Shape
	Atom  *Atom
	Kids  []*Line
	Chain bool // Both: the kids are the links of one chain a <= b < c
	Body  *formula.Formula
}

// Side is one side of a relation.
type Side struct {
	Tree *syntax.Node
	formula.Term
	terms []*summand // once it was taken apart
	apart bool
}

// Atom is one relation. Diff is the side that is said to be greater minus the
// other (left minus right for = and ≠), so that the relation reads Diff Sign 0
// with Sign one of =, ≠, > and ≥. Roots in Diff are folded: no power of a
// square root beyond the first is left.
type Atom struct {
	Left, Right Side
	Rel         poly.Rel
	Diff        formula.Fraction
	Sign        poly.Rel
	Domain      []poly.Condition
	folded      [2]formula.Fraction
}

// Great and Small are the sides in the order of Diff.
func (a *Atom) Great() *Side {
	if a.swapped() {
		return &a.Right
	}
	return &a.Left
}

// Small is the side that Diff subtracts.
func (a *Atom) Small() *Side {
	if a.swapped() {
		return &a.Left
	}
	return &a.Right
}

func (a *Atom) swapped() bool { return a.Rel == poly.Lt || a.Rel == poly.Le }

// great and small are the folded sides.
func (a *Atom) great() formula.Fraction {
	if a.swapped() {
		return a.folded[1]
	}
	return a.folded[0]
}

func (a *Atom) small() formula.Fraction {
	if a.swapped() {
		return a.folded[0]
	}
	return a.folded[1]
}

// Read lowers a formula into a line. Errors as for formula.Scope.Formula.
// Cost: that of multiplying out every side once.
func (s *Setting) Read(n *syntax.Node) (*Line, error) {
	l, err := s.read(n)
	if err != nil {
		return nil, err
	}
	l.Tree = n
	return l, nil
}

func (s *Setting) read(n *syntax.Node) (*Line, error) {
	switch n.Kind {
	case syntax.And, syntax.Or:
		kids := make([]*Line, len(n.Kids))
		for i, k := range n.Kids {
			l, err := s.read(k)
			if err != nil {
				return nil, err
			}
			kids[i] = l
		}
		if n.Kind == syntax.And {
			return join(Both, kids), nil
		}
		return join(Either, kids), nil
	case syntax.Relation:
		if !hasPlusMinus(n) {
			return s.relation(n)
		}
		upper, err := s.relation(signed(n, syntax.Add))
		if err != nil {
			return nil, err
		}
		lower, err := s.relation(signed(n, syntax.Sub))
		if err != nil {
			return nil, err
		}
		return join(Either, []*Line{upper, lower}), nil
	case syntax.In:
		if l, ok, err := s.membership(n); ok || err != nil {
			return l, err
		}
	case syntax.Implies: // "a, since b" with an evident b says a
		if reason, err := s.read(n.Kids[0]); err == nil && s.Evident(reason) != "" {
			return s.read(n.Kids[1])
		}
	case syntax.None:
		return &Line{Tree: n, Shape: Nothing, Body: formula.Never()}, nil
	}
	st, err := s.Formula(n)
	if err != nil {
		return nil, err
	}
	return &Line{Tree: n, Shape: Opaque, Body: st.Body}, nil
}

// join puts lines together, flattened.
func join(shape Shape, kids []*Line) *Line {
	if len(kids) == 1 {
		return kids[0]
	}
	out := &Line{Shape: shape}
	bodies := make([]*formula.Formula, 0, len(kids))
	for _, k := range kids {
		bodies = append(bodies, k.Body)
		if k.Shape == shape {
			out.Kids = append(out.Kids, k.Kids...)
		} else {
			out.Kids = append(out.Kids, k)
		}
	}
	if shape == Both {
		out.Body = formula.And(bodies...)
	} else {
		out.Body = formula.Or(bodies...)
	}
	return out
}

func (s *Setting) relation(n *syntax.Node) (*Line, error) {
	kids := make([]*Line, len(n.Rels))
	for i, rel := range n.Rels {
		l, err := s.between(n.Kids[i], n.Kids[i+1], poly.Rel(rel))
		if err != nil {
			return nil, err
		}
		kids[i] = l
	}
	l := join(Both, kids)
	l.Tree = n
	l.Chain = len(n.Rels) > 1 && len(l.Kids) == len(n.Rels)
	for _, k := range l.Kids {
		l.Chain = l.Chain && k.Shape == Single
	}
	return l, nil
}

// between reads one relation. A list on the right stands for each of its
// values in turn, a list on the left for all of them.
func (s *Setting) between(a, b *syntax.Node, rel poly.Rel) (*Line, error) {
	var kids []*Line
	add := func(x, y *syntax.Node) error {
		l, err := s.between(x, y, rel)
		kids = append(kids, l)
		return err
	}
	switch {
	case a.Kind == syntax.List:
		for _, k := range a.Kids {
			if err := add(k, b); err != nil {
				return nil, err
			}
		}
		if a.Text == "or" {
			return join(Either, kids), nil
		}
		return join(Both, kids), nil
	case (b.Kind == syntax.List || b.Kind == syntax.Set) && len(b.Kids) > 0:
		for _, k := range b.Kids {
			if err := add(a, k); err != nil {
				return nil, err
			}
		}
		if rel == poly.Ne {
			return join(Both, kids), nil
		}
		return join(Either, kids), nil
	case a.Kind == syntax.Tuple && b.Kind == syntax.Tuple && len(a.Kids) == len(b.Kids) && rel == poly.Eq:
		for i := range a.Kids {
			if err := add(a.Kids[i], b.Kids[i]); err != nil {
				return nil, err
			}
		}
		return join(Both, kids), nil
	}
	return s.single(a, b, rel)
}

func (s *Setting) single(a, b *syntax.Node, rel poly.Rel) (*Line, error) {
	left, err := s.Expression(a)
	if err != nil {
		return nil, err
	}
	right, err := s.Expression(b)
	if err != nil {
		return nil, err
	}
	atom := s.atom(Side{Tree: a, Term: left}, Side{Tree: b, Term: right}, rel)
	tree := &syntax.Node{Kind: syntax.Relation, Kids: []*syntax.Node{a, b}, Rels: []syntax.Rel{syntax.Rel(rel)}, At: a.At.To(b.At)}
	return s.lineOf(tree, atom), nil
}

// lineOf makes the line of one relation.
func (s *Setting) lineOf(tree *syntax.Node, a *Atom) *Line {
	return &Line{Tree: tree, Shape: Single, Atom: a, Body: s.Compare(a.Left.Term, a.Right.Term, a.Rel)}
}

// atom compares two sides.
func (s *Setting) atom(left, right Side, rel poly.Rel) *Atom {
	a := &Atom{Left: left, Right: right, Rel: rel, Sign: rel}
	a.Domain = append(a.Domain, left.Domain...)
	for _, c := range right.Domain {
		if !s.listed(a.Domain, c) {
			a.Domain = append(a.Domain, c)
		}
	}
	a.folded = [2]formula.Fraction{s.fold(left.Fraction), s.fold(right.Fraction)}
	x, y := a.folded[0], a.folded[1]
	if a.swapped() {
		x, y = y, x
		a.Sign = rel.Flip()
	}
	a.Diff = s.fold(s.minus(x, y))
	return a
}

// listed reports that a condition stands in a list.
func (s *Setting) listed(list []poly.Condition, c poly.Condition) bool {
	for _, d := range list {
		if d.Rel == c.Rel && s.Ring.Equal(d.P, c.P) {
			return true
		}
	}
	return false
}
