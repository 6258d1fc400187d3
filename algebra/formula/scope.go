package formula

import (
	"sort"
	"strconv"
	"strings"

	"squaremark/algebra/budget"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// Range says which numbers a variable stands for.
type Range uint8

const (
	Real            Range = iota
	Integer               // a whole number
	PositiveInteger       // 1, 2, 3, ...
)

// Variable is a declared variable of a question.
type Variable struct {
	Name  string
	Range Range
}

// Fraction is Num/Den with Den not the zero polynomial.
type Fraction struct{ Num, Den poly.Poly }

// Symbol stands for a root that polynomials cannot express: the ring variable
// Var is the Power-th root of Of (the non-negative one when Power is even).
// |e| is the square root of e².
type Symbol struct {
	Var   int
	Power int
	Of    Fraction
	Abs   *Fraction // e, where the symbol stands for |e|
	text  string
}

// Scope holds the ring of one question: its declared variables first, then
// one symbol for each root that occurs in its texts.
type Scope struct {
	Ring    *poly.Ring
	Vars    []Variable
	Symbols []Symbol
	meter   *budget.Meter
	spare   int  // ring index of the next unused symbol
	bare    bool // relations are lowered without their domain conditions
	one     poly.Poly
	terms   []poly.Poly // the ring's variables as polynomials
}

// NewScope makes the ring for these trees, in which no sum is left (Expand).
// Only declared variables that are
// used in some tree, and all integer ones, enter the ring, so that a question
// costs what it uses. A name in a tree that is not declared is a mistake at
// its place. A declared name "a_i" stands for every a_1, a_2, ...
func NewScope(vars []Variable, m *budget.Meter, trees ...*syntax.Node) (*Scope, error) {
	s := &Scope{meter: m}
	declared := map[string]Range{}
	for _, v := range vars {
		declared[v.Name] = v.Range
	}
	used := map[string]bool{}
	var order []Variable
	roots := 0
	var walk func(n *syntax.Node) error
	walk = func(n *syntax.Node) error {
		if n == nil {
			return nil
		}
		switch n.Kind {
		case syntax.Name:
			name := nameOf(n)
			if used[name] {
				return nil
			}
			r, ok := rangeOf(declared, n, name)
			if !ok {
				return unknownVariable(n, name)
			}
			used[name] = true
			order = append(order, Variable{Name: name, Range: r})
			return nil
		case syntax.Root, syntax.Abs:
			roots++
		case syntax.Pow:
			if !isWhole(n.Kids[1]) {
				roots++ // a fractional exponent is a root
			}
		}
		for _, k := range n.Kids {
			if err := walk(k); err != nil {
				return err
			}
		}
		return nil
	}
	for _, t := range trees {
		if err := walk(t); err != nil {
			return nil, err
		}
	}
	position := map[string]int{}
	for i, v := range vars {
		position[v.Name] = i
	}
	sort.SliceStable(order, func(i, j int) bool {
		a, okA := position[order[i].Name]
		b, okB := position[order[j].Name]
		if okA && okB {
			return a < b
		}
		if okA != okB {
			return okA
		}
		return false
	})
	s.Vars = order
	names := make([]string, 0, len(order)+roots)
	for _, v := range order {
		names = append(names, v.Name)
	}
	letter := symbolLetter(vars)
	for i := range roots {
		names = append(names, letter+"_"+strconv.Itoa(i+1))
	}
	s.spare = len(order)
	s.Ring = poly.NewRing(names, m)
	s.one = s.Ring.Const(number.Int(1))
	s.terms = make([]poly.Poly, len(names))
	for i := range names {
		s.terms[i] = s.Ring.Var(i)
	}
	return s, nil
}

// isWhole reports an exponent that is visibly a whole number, with or without
// a sign.
func isWhole(n *syntax.Node) bool {
	if n.Kind == syntax.Neg || n.Kind == syntax.Plus {
		n = n.Kids[0]
	}
	return n.Kind == syntax.Number && !strings.Contains(n.Text, ".")
}

// nameOf is the ring's name of a variable: "x", "a_1", "a_{i+1}".
func nameOf(n *syntax.Node) string {
	if len(n.Kids) == 0 {
		return n.Text
	}
	return syntax.Plain(n)
}

// symbolLetter is a letter for root symbols that no declared variable uses.
func symbolLetter(vars []Variable) string {
	for _, letter := range []string{"rho", "psi"} {
		free := true
		for _, v := range vars {
			free = free && !strings.HasPrefix(v.Name, letter)
		}
		if free {
			return letter
		}
	}
	return "xi"
}

func rangeOf(declared map[string]Range, n *syntax.Node, name string) (Range, bool) {
	if r, ok := declared[name]; ok {
		return r, true
	}
	if len(n.Kids) == 1 {
		if r, ok := declared[n.Text+"_i"]; ok {
			return r, true
		}
	}
	return Real, false
}

// Whole marks the ring variables that range over integers.
func (s *Scope) Whole() []bool {
	var w []bool
	for i, v := range s.Vars {
		if v.Range != Real {
			if w == nil {
				w = make([]bool, s.Ring.Len())
			}
			w[i] = true
		}
	}
	return w
}

// Ranges lists the conditions that the ranges of the variables say: n >= 1
// for a positive integer.
func (s *Scope) Ranges() []poly.Condition {
	var list []poly.Condition
	for i, v := range s.Vars {
		if v.Range == PositiveInteger {
			p := s.Ring.Sub(s.Ring.Var(i), s.Ring.Const(number.Int(1)))
			list = append(list, poly.Condition{P: p, Rel: poly.Ge})
		}
	}
	return list
}

// symbolFor is the symbol of the power-th root of a fraction, an earlier one
// where the fraction is the same.
func (s *Scope) symbolFor(of Fraction, power int, abs *Fraction) (Symbol, bool) {
	for i, y := range s.Symbols {
		if y.Power == power && s.same(y.Of, of) {
			if abs != nil && y.Abs == nil {
				s.Symbols[i].Abs = abs
			}
			return y, true
		}
	}
	if s.spare >= s.Ring.Len() {
		return Symbol{}, false
	}
	y := Symbol{Var: s.spare, Power: power, Of: of, Abs: abs}
	s.spare++
	s.Symbols = append(s.Symbols, y)
	return y, true
}

func (s *Scope) same(a, b Fraction) bool {
	return s.Ring.Equal(s.Ring.Mul(a.Num, b.Den), s.Ring.Mul(b.Num, a.Den))
}

// Define adds to a case the equations and signs of every symbol that occurs
// in it, and of the symbols in their radicands. The case must hold the domain
// conditions of those symbols already, as every case made from a Formula of
// this scope does.
func (s *Scope) Define(conds []poly.Condition) []poly.Condition {
	if len(s.Symbols) == 0 {
		return conds
	}
	need := make([]bool, len(s.Symbols))
	mark := func(p poly.Poly) {
		for _, v := range s.Ring.Vars(p) {
			for k, y := range s.Symbols {
				if y.Var == v {
					need[k] = true
				}
			}
		}
	}
	for _, c := range conds {
		mark(c.P)
	}
	out := append([]poly.Condition(nil), conds...)
	for k := len(s.Symbols) - 1; k >= 0; k-- {
		if !need[k] {
			continue
		}
		y := s.Symbols[k]
		mark(y.Of.Num)
		mark(y.Of.Den)
		root := s.Ring.Var(y.Var)
		p := s.Ring.Sub(s.Ring.Mul(s.Ring.Pow(root, y.Power), y.Of.Den), y.Of.Num)
		out = append(out, poly.Condition{P: p, Rel: poly.Eq})
		if y.Power%2 == 0 {
			out = append(out, poly.Condition{P: root, Rel: poly.Ge})
		}
	}
	return out
}

// Name is the text of a ring variable for people: its name, or the root that
// a symbol stands for.
func (s *Scope) Name(i int) string {
	for _, y := range s.Symbols {
		if y.Var == i && y.text != "" {
			return y.text
		}
	}
	return s.Ring.Names()[i]
}

// Defines reports that the point satisfies the symbol's equation and sign.
func (y Symbol) Defines(r *poly.Ring, point []number.Num) bool {
	root := point[y.Var]
	if y.Power%2 == 0 && root.Sign() < 0 {
		return false
	}
	return root.Pow(y.Power).Mul(r.EvalAll(y.Of.Den, point)).Equal(r.EvalAll(y.Of.Num, point))
}
