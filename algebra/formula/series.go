package formula

import (
	"strconv"
	"strings"

	"squaremark/algebra/budget"
	"squaremark/algebra/syntax"
)

// Sums takes the sums of one question apart, so that they can be spoken of
// for every number of terms at once: each is written with multiples of a few
// atoms, which are sums of one monomial in members of the families, and with
// single members near the ends. What is left is an ordinary formula in which
// the atoms are variables.
//
//	series.go         rewriting texts
//	series_names.go     what is the number of terms, the cycle, a free index
//	series_dots.go      sums with dots
//	series_split.go     one sum to atoms
//	series_leaves.go    members and roots in a body
//	series_body.go      monomials, shifts, ranges
//	series_triangle.go  inner sums up to the index of an outer one
//	series_tree.go      polynomials as trees, closed forms of Σ i^k
//	series_parts.go     conjuncts, a relation apart from its domain
//	series_given.go     assumptions for every index
//	series_window.go    statements about members at running indices
//	series_place.go     everything written out again for one number of terms
//
// Domain: one number of terms n; bounds k and n + k for fixed integers k;
// indices i + k. A Sums is for one goroutine.
type Sums struct {
	Size   string // the name of the number of terms, "n"
	Cyclic bool   // the families run round a cycle of n members
	Min    int64  // the rewriting is exact from this n on
	Atoms  []Atom

	bodies  []*syntax.Node // of all sums
	vars    []Variable
	letter  string // of the atoms
	bound   []string
	ranges  []span   // of the sums around, with bound
	partial []prefix // sums up to the index of a sum around
	keys    map[string]int
	conds   []everywhere
	meter   *budget.Meter
}

// Atom is the sum of one body over the index from From to n + To. Standard
// atoms run over every place where all members in the body are among the
// first n: from 1 to n - Width, round a cycle from 1 to n.
type Atom struct {
	Name     string
	Width    int // the greatest distance between members in the body
	From, To int64
	Standard bool
	Weighted bool // the index itself occurs in the body
	body     *syntax.Node
}

// NewSums starts a question. The size is a declared variable, or becomes one.
func NewSums(vars []Variable, size string, cyclic bool, m *budget.Meter) *Sums {
	s := &Sums{Size: size, Cyclic: cyclic, vars: WithSize(vars, size), keys: map[string]int{}, meter: m}
	for _, letter := range []string{"S", "T", "U", "Z", "Σ"} {
		s.letter = letter
		free := true
		for _, v := range vars {
			free = free && v.Name != letter && !strings.HasPrefix(v.Name, letter+"_")
		}
		if free {
			break
		}
	}
	return s
}

// WithSize adds the number of terms to the variables where it is not declared.
func WithSize(vars []Variable, size string) []Variable {
	for _, v := range vars {
		if v.Name == size {
			return vars
		}
	}
	return append(append([]Variable(nil), vars...), Variable{Name: size, Range: PositiveInteger})
}

// Text says what an atom is: "S_1 = sum(i=1..n, a_i^2)".
func (s *Sums) Text(k int) string {
	a := s.Atoms[k]
	i := s.running(1)[0]
	body := at(a.body, &syntax.Node{Kind: syntax.Name, Text: i})
	sum := *s.written(k)
	sum.Text, sum.Kids = i, []*syntax.Node{sum.Kids[0], sum.Kids[1], body}
	return a.Name + " = " + syntax.Plain(&sum)
}

// written is the atom as a sum.
func (s *Sums) written(k int) *syntax.Node {
	a := s.Atoms[k]
	return &syntax.Node{Kind: syntax.BigSum, Text: dotsIndex, Kids: []*syntax.Node{
		numeral(a.From), plus(s.sizeNode(), a.To), s.restore(a.body),
	}}
}

func (s *Sums) sizeNode() *syntax.Node { return &syntax.Node{Kind: syntax.Name, Text: s.Size} }

// running gives letters for running indices that nothing else uses.
func (s *Sums) running(copies int) []string {
	var list []string
	for _, letter := range []string{"i", "j", "k", "l", "r", "s", "t", "u", "v", "w"} {
		free := letter != s.Size
		for _, v := range s.vars {
			free = free && v.Name != letter
		}
		if free {
			list = append(list, letter)
		}
		if len(list) == copies {
			break
		}
	}
	for k := len(list); k < copies; k++ {
		list = append(list, "ι"+strconv.Itoa(k))
	}
	return list
}

// all are the variables that may occur in a rewritten text.
func (s *Sums) all() []Variable {
	list := append([]Variable(nil), s.vars...)
	list = append(list, Variable{Name: s.letter + "_i"}, Variable{Name: dotsIndex, Range: Integer})
	for k := range s.partial {
		list = append(list, Variable{Name: s.partialName(k) + "_i"})
	}
	for _, b := range s.bound {
		list = append(list, Variable{Name: b, Range: Integer})
	}
	return list
}

// Outer is the scope of rewritten texts.
func (s *Sums) Outer(trees ...*syntax.Node) (*Scope, error) {
	return NewScope(s.all(), s.meter, trees...)
}

// AtomAt tells which atom a variable of the outer scope is, -1 for none.
func (s *Sums) AtomAt(scope *Scope, v int) int {
	name := scope.Ring.Name(v)
	for k, a := range s.Atoms {
		if a.Name == name {
			return k
		}
	}
	return -1
}

// Rewrite replaces every sum of a text by its atoms and end terms. It raises
// Min where that is exact only from some n on. Errors: an *OutsideError for
// what is not covered, mistakes of the writer.
func (s *Sums) Rewrite(n *syntax.Node) (*syntax.Node, error) {
	switch {
	case !s.meter.Spend(budget.CostToken):
		return nil, tooLarge(n)
	case n.Kind == syntax.BigSum:
		return s.sum(n)
	case n.Kind == syntax.Ellipsis && len(n.Kids) > 0:
		return nil, outside(n, "a sum with dots that follows no rule is not decided")
	case n.Kind == syntax.Name && len(n.Kids) == 1:
		return s.member(n)
	case len(n.Kids) == 0:
		return n, nil
	}
	out := *n
	out.Kids = make([]*syntax.Node, len(n.Kids))
	for i, k := range n.Kids {
		r, err := s.Rewrite(k)
		if err != nil {
			return nil, err
		}
		out.Kids[i] = r
	}
	return &out, nil
}

// member spells a member of a family in one way: round a cycle a_{n+1} is
// a_1, and a_0 is a_n.
func (s *Sums) member(n *syntax.Node) (*syntax.Node, error) {
	name, k, ok := shifted(n.Kids[0])
	if m, is := s.partialAt(n); is && ok && (name == "" || name == s.Size) {
		return s.upTo(m, name, k)
	}
	if !ok {
		return nil, outside(n, "only indices such as i + 1 are decided for every number of terms")
	}
	index := n.Kids[0]
	switch {
	case s.Cyclic && name == "" && k < 1:
		index = plus(s.sizeNode(), k)
	case s.Cyclic && name == s.Size && k > 0:
		index = numeral(k)
	default:
		index = plus(index, 0)
	}
	return &syntax.Node{Kind: syntax.Name, Text: n.Text, At: n.At, Kids: []*syntax.Node{index}}, nil
}

// bodyOf is the rewritten body of a sum over this range, with • as its index.
func (s *Sums) bodyOf(n *syntax.Node, r span) (*syntax.Node, error) {
	s.bound, s.ranges = append(s.bound, n.Text), append(s.ranges, r)
	body, err := s.Rewrite(n.Kids[2])
	s.bound, s.ranges = s.bound[:len(s.bound)-1], s.ranges[:len(s.ranges)-1]
	if err != nil {
		return nil, err
	}
	return at(rename(body, n.Text, dotsIndex), nil), nil
}

// maxEnds bounds the single terms by which a range may differ from the
// standard one, and the terms of a sum between numbers.
const maxEnds = 12

func (s *Sums) sum(n *syntax.Node) (*syntax.Node, error) {
	from, lo, okLo := shifted(n.Kids[0])
	to, hi, okHi := shifted(n.Kids[1])
	if n.Text == s.Size {
		return nil, outside(n, "the index of a sum is its number of terms")
	}
	if !okLo || !okHi || from != "" || to != "" && to != s.Size {
		if sum, ok, err := s.triangle(n); ok || err != nil {
			return sum, err
		}
		if sum, ok := s.between(n); ok {
			return sum, nil
		}
		return nil, outside(n, "a sum is decided for every number of terms only from a number to %s + a number", s.Size)
	}
	body, err := s.bodyOf(n, span{lo, hi, to != ""})
	if err != nil {
		return nil, err
	}
	if to == "" {
		if hi-lo >= maxEnds {
			return nil, outside(n, "the sum has too many terms")
		}
		var total adder
		for k := lo; k <= hi; k++ {
			term, err := s.Rewrite(at(body, numeral(k)))
			if err != nil {
				return nil, err
			}
			total.add(term)
		}
		return total.sum(), nil
	}
	s.Min = max(s.Min, lo-hi-1)
	s.bodies = append(s.bodies, body)
	return s.split(n, body, lo, hi)
}

// Bodies is the number of sums rewritten so far.
func (s *Sums) Bodies() int { return len(s.bodies) }
