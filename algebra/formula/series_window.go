package formula

import (
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// Tree is a syntax tree for those who only hand it on.
type Tree = *syntax.Node

// SizeTree is the name of the number of terms.
func (s *Sums) SizeTree() Tree { return s.sizeNode() }

// IndexTree is the first running index of every window.
func (s *Sums) IndexTree() Tree {
	return &syntax.Node{Kind: syntax.Name, Text: s.running(1)[0]}
}

// Window is a scope for statements about members at running indices i < j < k
// (Copies of them), each together with its Width followers.
type Window struct {
	*Scope
	Copies int
	Width  int
	Given  *Formula // what the assumptions for every index say here
	leaves []leaf
	index  []string
	free   bool // the running index may lie anywhere
}

// Use is the body of an atom at the running index Copy, moved on by Shift.
type Use struct{ Atom, Copy, Shift int }

// Window makes the scope for these bodies and gives them as terms, with the
// conditions under which they are defined. Outer names are variables of the
// outer scope that coefficients bring in. Where ordered is set the running
// indices rise, so that an order of a family orders its members.
// Errors as for Scope.Expression.
func (s *Sums) Window(copies, width int, uses []Use, outer []Tree, ordered bool) (*Window, []Term, error) {
	w := &Window{Copies: copies, Width: width, index: s.running(copies)}
	var trees []*syntax.Node
	for _, u := range uses {
		trees = append(trees, at(s.Atoms[u.Atom].body, s.runningAt(w, u.Copy, u.Shift)))
	}
	return s.window(w, trees, outer, ordered)
}

// Body is the summand of the k-th sum that was rewritten, at the running index
// 0, as it was written; ok is false when there are not so many.
func (s *Sums) Body(k int) (w *Window, body Term, ok bool, err error) {
	if k >= len(s.bodies) {
		return nil, Term{}, false, nil
	}
	lo, hi, _ := Offsets(s.bodies[k], dotsIndex)
	w = &Window{Copies: 1, Width: int(hi - lo), index: s.running(1), free: true}
	w, terms, err := s.window(w, []*syntax.Node{at(s.bodies[k], s.runningAt(w, 0, int(-lo)))}, nil, false)
	if err != nil {
		return nil, Term{}, true, err
	}
	return w, terms[0], true, nil
}

func (s *Sums) window(w *Window, trees []*syntax.Node, outer []Tree, ordered bool) (*Window, []Term, error) {
	copies, width := w.Copies, w.Width
	bodies := len(trees)
	var conds []*syntax.Node
	for c := range copies {
		for _, e := range s.conds {
			if e.width > 0 && s.Cyclic {
				continue
			}
			for h := 0; h+int(e.width) <= width; h++ {
				conds = append(conds, at(e.tree, s.runningAt(w, c, h)))
			}
		}
	}
	conds = append(conds, s.betweenEnds(w, outer)...)
	if ordered && copies == 2 {
		for _, e := range s.conds {
			if e.family != "" {
				conds = append(conds, related(member(e.family, s.runningAt(w, 0, 0)), e.rel, member(e.family, s.runningAt(w, 1, 0))))
			}
		}
	}
	trees = append(append(trees, conds...), outer...)
	s.bound = append(s.bound, w.index...)
	scope, err := s.Outer(trees...)
	s.bound = s.bound[:len(s.bound)-copies]
	if err != nil {
		return nil, nil, err
	}
	w.Scope = scope
	terms := make([]Term, bodies)
	for i := range terms {
		if terms[i], err = scope.Expression(trees[i]); err != nil {
			return nil, nil, err
		}
	}
	if w.Given, err = s.given(w, conds); err != nil {
		return nil, nil, err
	}
	w.leaves, err = scope.leaves(trees...)
	return w, terms, err
}

// betweenEnds compares the members of the windows with a_1 and a_n where these
// occur and the family has an order.
func (s *Sums) betweenEnds(w *Window, outer []Tree) []*syntax.Node {
	var list []*syntax.Node
	for _, e := range s.conds {
		if e.family == "" || s.Cyclic {
			continue
		}
		for _, t := range outer {
			if t.Text != e.family || len(t.Kids) != 1 {
				continue
			}
			name, k, ok := shifted(t.Kids[0])
			for c := range w.Copies {
				for h := 0; ok && h <= w.Width; h++ {
					m := member(e.family, s.runningAt(w, c, h))
					switch {
					case name == "" && k <= 1:
						list = append(list, related(t, loose(e.rel), m))
					case name == s.Size && k >= 0:
						list = append(list, related(m, loose(e.rel), t))
					}
				}
			}
		}
	}
	return list
}

func (s *Sums) runningAt(w *Window, copy, shift int) *syntax.Node {
	return plus(&syntax.Node{Kind: syntax.Name, Text: w.index[copy]}, int64(shift))
}

// given lowers the conditions, and adds 1 ≤ i and i + width ≤ n where they
// can be said.
func (s *Sums) given(w *Window, conds []*syntax.Node) (*Formula, error) {
	all := Always()
	for _, t := range conds {
		st, err := w.Formula(t)
		if err != nil {
			return nil, err
		}
		all = And(all, st.Body)
	}
	r := w.Ring
	size, hasSize := r.Index(s.Size)
	for _, name := range w.index {
		i, ok := r.Index(name)
		if !ok || w.free {
			continue
		}
		all = And(all, Condition(poly.Condition{P: r.Sub(r.Var(i), r.Int(1)), Rel: poly.Ge}))
		if hasSize {
			last := r.Var(size)
			if !s.Cyclic {
				last = r.Sub(last, r.Int(int64(w.Width)))
			}
			all = And(all, Condition(poly.Condition{P: r.Sub(last, r.Var(i)), Rel: poly.Ge}))
		}
	}
	return all, nil
}

// AtLeast is the statement that the number of terms is not below k, in a
// scope where it occurs; otherwise Always.
func (s *Sums) AtLeast(scope *Scope, k int64) *Formula {
	i, ok := scope.Ring.Index(s.Size)
	if !ok {
		return Always()
	}
	return Condition(poly.Condition{P: scope.Ring.Sub(scope.Ring.Var(i), scope.Ring.Const(number.Int(k))), Rel: poly.Ge})
}

// MemberName tells which family and running index a variable of the window
// stands for: a_{i+1} is (a, 0, 1). ok is false for anything else.
func (w *Window) MemberName(v int) (family string, copy, offset int, ok bool) {
	n := w.leaves[v].node
	if n == nil || n.Kind != syntax.Name || len(n.Kids) != 1 {
		return "", 0, 0, false
	}
	name, k, isShift := shifted(n.Kids[0])
	for c, i := range w.index {
		if isShift && i == name {
			return n.Text, c, int(k), true
		}
	}
	return "", 0, 0, false
}

// Member finds the variable of the window that is a member of a family.
func (w *Window) Member(family string, copy, offset int) (int, bool) {
	for v := range w.leaves {
		if f, c, o, ok := w.MemberName(v); ok && f == family && c == copy && o == offset {
			return v, true
		}
	}
	return 0, false
}

// Index lists the letters of the running indices.
func (w *Window) Index() []string { return w.index }

// OuterNode is the tree of a variable of a rewritten text, for Window; nil for
// the symbol of a root.
func (s *Sums) OuterNode(scope *Scope, v int) Tree {
	if v >= len(scope.Vars) {
		return nil
	}
	name := scope.Ring.Name(v)
	if k := s.AtomAt(scope, v); k >= 0 {
		return member(s.letter, numeral(int64(k+1)))
	}
	if family, index, ok := splitName(name); ok {
		return &syntax.Node{Kind: syntax.Name, Text: family, Kids: []*syntax.Node{index}}
	}
	return &syntax.Node{Kind: syntax.Name, Text: name}
}

// EndOf tells at which single index a variable of a rewritten text is a
// member of a family.
func (s *Sums) EndOf(scope *Scope, v int) (at int64, fromEnd, ok bool) {
	n := s.OuterNode(scope, v)
	if n == nil || len(n.Kids) != 1 || n.Text == s.letter || !s.declared(n.Text+"_i") {
		return 0, false, false
	}
	name, k, ok := shifted(n.Kids[0])
	return k, name != "", ok && (name == "" || name == s.Size)
}

func (s *Sums) declared(name string) bool {
	for _, v := range s.vars {
		if v.Name == name {
			return true
		}
	}
	return false
}

// End is the body of an atom at one index: At, or n + At where FromEnd is set.
type End struct {
	Atom    int
	At      int64
	FromEnd bool
}

// Ends makes a scope for these single bodies together with the outer names,
// and gives them as fractions with what is assumed of their members for
// n ≥ from.
func (s *Sums) Ends(from int64, ends []End, outer []Tree) (*Scope, []Fraction, *Formula, error) {
	var trees []*syntax.Node
	for _, e := range ends {
		index := numeral(e.At)
		if e.FromEnd {
			index = plus(s.sizeNode(), e.At)
		}
		t, err := s.Rewrite(at(s.Atoms[e.Atom].body, index))
		if err != nil {
			return nil, nil, nil, err
		}
		trees = append(trees, t)
	}
	conds := s.AtEnds(from, append(append([]*syntax.Node(nil), trees...), outer...)...)
	scope, err := s.Outer(append(append(append([]*syntax.Node(nil), trees...), outer...), conds...)...)
	if err != nil {
		return nil, nil, nil, err
	}
	values := make([]Fraction, len(trees))
	for i, t := range trees {
		f, err := scope.Expression(t)
		if err != nil {
			return nil, nil, nil, err
		}
		values[i] = f.Fraction
	}
	given := s.AtLeast(scope, from)
	for _, t := range conds {
		st, err := scope.Formula(t)
		if err != nil {
			return nil, nil, nil, err
		}
		given = And(given, st.Body)
	}
	return scope, values, given, nil
}
