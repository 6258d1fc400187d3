package formula

import (
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// Statement is a lowered formula. Body is false where a part is undefined;
// Domain lists the conditions under which all parts are defined.
type Statement struct {
	Body   *Formula
	Domain []poly.Condition
}

// WhereDefined lowers like Formula, for points where all parts are defined: the
// domain conditions are left out of Body, and Domain still lists them.
func (s *Scope) WhereDefined(n *syntax.Node) (Statement, error) {
	s.bare = true
	defer func() { s.bare = false }()
	return s.Formula(n)
}

// Formula lowers a relation, a chain of them, a membership, or several joined
// by "and" and "or". Errors as for Expression.
func (s *Scope) Formula(n *syntax.Node) (Statement, error) {
	var st Statement
	f, err := s.formula(n, &st)
	if err == nil {
		err = s.spent(n)
	}
	st.Body = f
	return st, err
}

func (s *Scope) formula(n *syntax.Node, st *Statement) (*Formula, error) {
	switch n.Kind {
	case syntax.And, syntax.Or:
		kids := make([]*Formula, len(n.Kids))
		for i, k := range n.Kids {
			f, err := s.formula(k, st)
			if err != nil {
				return nil, err
			}
			kids[i] = f
		}
		if n.Kind == syntax.And {
			return And(kids...), nil
		}
		return Or(kids...), nil
	case syntax.Relation:
		return s.chain(n, st)
	case syntax.In:
		return s.membership(n, st)
	case syntax.None:
		return Never(), nil
	case syntax.Not, syntax.Implies, syntax.Iff:
		return s.connective(n, st)
	}
	return nil, expectedFormula(n)
}

// connective lowers ¬a, a ⇒ b and a ⇔ b. A part that is not defined makes the
// whole false, as in a relation, whatever stands in front of it.
func (s *Scope) connective(n *syntax.Node, st *Statement) (*Formula, error) {
	var inner Statement
	a, err := s.formula(n.Kids[0], &inner)
	if err != nil {
		return nil, err
	}
	f := Not(a)
	if n.Kind != syntax.Not {
		b, err := s.formula(n.Kids[1], &inner)
		if err != nil {
			return nil, err
		}
		f = Or(f, b)
		if n.Kind == syntax.Iff {
			f = And(f, Or(Not(b), a))
		}
	}
	st.Domain = append(st.Domain, inner.Domain...)
	if s.bare {
		return f, nil
	}
	parts := make([]*Formula, 0, len(inner.Domain)+1)
	for _, c := range inner.Domain {
		parts = append(parts, Condition(c))
	}
	return And(append(parts, f)...), nil
}

// chain lowers a R b S c as a R b and b S c. A ± in it makes two chains, all
// signs taken as the upper ones or all as the lower ones.
func (s *Scope) chain(n *syntax.Node, st *Statement) (*Formula, error) {
	upper, err := s.signedChain(n, st, 1)
	if err != nil || !hasPlusMinus(n) {
		return upper, err
	}
	lower, err := s.signedChain(n, st, -1)
	if err != nil {
		return nil, err
	}
	return Or(upper, lower), nil
}

func hasPlusMinus(n *syntax.Node) bool {
	if n.Kind == syntax.PlusMinus {
		return true
	}
	for _, k := range n.Kids {
		if hasPlusMinus(k) {
			return true
		}
	}
	return false
}

func (s *Scope) signedChain(n *syntax.Node, st *Statement, sign int64) (*Formula, error) {
	parts := make([]*Formula, 0, len(n.Rels))
	for i, rel := range n.Rels {
		a, b := n.Kids[i], n.Kids[i+1]
		f, err := s.pair(a, b, poly.Rel(rel), st, sign)
		if err != nil {
			return nil, err
		}
		parts = append(parts, f)
	}
	return And(parts...), nil
}

// each lowers one statement for every element of a list and joins them.
func each(list *syntax.Node, join func(...*Formula) *Formula, lower func(*syntax.Node) (*Formula, error)) (*Formula, error) {
	parts := make([]*Formula, 0, len(list.Kids))
	for _, k := range list.Kids {
		f, err := lower(k)
		if err != nil {
			return nil, err
		}
		parts = append(parts, f)
	}
	return join(parts...), nil
}

// pair lowers one relation between two sides. A list on the left stands for
// each of its members (a, b > 0), one on the right for some of them (x = 0, 1
// or 2), except after ≠.
func (s *Scope) pair(a, b *syntax.Node, rel poly.Rel, st *Statement, sign int64) (*Formula, error) {
	if a.Kind == syntax.List {
		join := And
		if a.Text == "or" {
			join = Or
		}
		return each(a, join, func(k *syntax.Node) (*Formula, error) { return s.pair(k, b, rel, st, sign) })
	}
	if b.Kind == syntax.List || b.Kind == syntax.Set {
		join := Or
		if rel == poly.Ne {
			join = And
		}
		return each(b, join, func(k *syntax.Node) (*Formula, error) { return s.pair(a, k, rel, st, sign) })
	}
	if a.Kind == syntax.Tuple && b.Kind == syntax.Tuple && len(a.Kids) == len(b.Kids) && rel == poly.Eq {
		var parts []*Formula
		for i := range a.Kids {
			f, err := s.pair(a.Kids[i], b.Kids[i], rel, st, sign)
			if err != nil {
				return nil, err
			}
			parts = append(parts, f)
		}
		return And(parts...), nil
	}
	l := lowering{Scope: s, sign: sign}
	left, err := l.term(a)
	if err != nil {
		return nil, err
	}
	right, err := l.term(b)
	if err != nil {
		return nil, err
	}
	st.Domain = append(st.Domain, l.domain...)
	return s.compare(left, right, rel, l.domain), nil
}

// compare is left rel right where everything in domain holds, as sign
// conditions: the difference N/D has the sign of N·D.
func (s *Scope) compare(left, right Fraction, rel poly.Rel, domain []poly.Condition) *Formula {
	diff := s.add(left, Fraction{s.Ring.Neg(right.Num), right.Den})
	p := diff.Num
	if d, ok := diff.Den.IsConst(); ok {
		if d.Sign() < 0 {
			p = s.Ring.Neg(p)
		}
	} else if rel != poly.Eq && rel != poly.Ne {
		p = s.Ring.Mul(diff.Num, diff.Den)
	}
	relation := Condition(poly.Condition{P: p, Rel: rel})
	if s.bare || len(domain) == 0 {
		return relation
	}
	parts := make([]*Formula, 0, len(domain)+1)
	for _, c := range domain {
		parts = append(parts, Condition(c))
	}
	return And(append(parts, relation)...)
}

// membership lowers a ∈ S for a finite set, an interval, a standard set of
// numbers, or a union of them.
func (s *Scope) membership(n *syntax.Node, st *Statement) (*Formula, error) {
	f, err := s.within(n.Kids[0], n.Kids[1], st, 1)
	if err != nil {
		return nil, err
	}
	if hasPlusMinus(n) {
		lower, err := s.within(n.Kids[0], n.Kids[1], st, -1)
		if err != nil {
			return nil, err
		}
		f = Or(f, lower)
	}
	if n.Negated {
		f = Not(f)
	}
	return f, nil
}

func (s *Scope) within(a, set *syntax.Node, st *Statement, sign int64) (*Formula, error) {
	if a.Kind == syntax.List {
		return each(a, And, func(k *syntax.Node) (*Formula, error) { return s.within(k, set, st, sign) })
	}
	switch set.Kind {
	case syntax.Set, syntax.List:
		return s.pair(a, &syntax.Node{Kind: syntax.Set, Kids: set.Kids, At: set.At}, poly.Eq, st, sign)
	case syntax.None:
		return Never(), nil
	case syntax.Union:
		return each(set, Or, func(k *syntax.Node) (*Formula, error) { return s.within(a, k, st, sign) })
	case syntax.Intersection:
		return each(set, And, func(k *syntax.Node) (*Formula, error) { return s.within(a, k, st, sign) })
	case syntax.Without:
		in, err := s.within(a, set.Kids[0], st, sign)
		if err != nil {
			return nil, err
		}
		out, err := s.within(a, set.Kids[1], st, sign)
		if err != nil {
			return nil, err
		}
		return And(in, Not(out)), nil
	case syntax.Interval:
		return s.interval(a, set, st, sign)
	case syntax.Standard:
		return s.standard(a, set, st)
	}
	return nil, mistake("expected-set", set, "", "expected a set or an interval after ∈, found %s", syntax.Plain(set))
}

func (s *Scope) interval(a, set *syntax.Node, st *Statement, sign int64) (*Formula, error) {
	parts := []*Formula{}
	ends := [2]struct {
		open  bool
		loose poly.Rel
	}{{set.LeftOpen, poly.Ge}, {set.RightOpen, poly.Le}}
	for i, end := range ends {
		k := set.Kids[i]
		if k.Kind == syntax.Infinity || (k.Kind == syntax.Neg || k.Kind == syntax.Plus) && k.Kids[0].Kind == syntax.Infinity {
			continue
		}
		rel := end.loose
		if end.open {
			rel = map[poly.Rel]poly.Rel{poly.Ge: poly.Gt, poly.Le: poly.Lt}[rel]
		}
		f, err := s.pair(a, k, rel, st, sign)
		if err != nil {
			return nil, err
		}
		parts = append(parts, f)
	}
	return And(parts...), nil
}

// standard lowers x ∈ ℝ, and x ∈ ℤ or ℕ for a variable that is declared an
// integer. ℕ holds 0 (ISO 80000-2, clause 7).
func (s *Scope) standard(a, set *syntax.Node, st *Statement) (*Formula, error) {
	switch {
	case set.Text == "R":
		return Always(), nil
	case a.Kind != syntax.Name:
	case set.Text == "Z", set.Text == "Q", set.Text == "N":
		i, ok := s.Ring.Index(nameOf(a))
		if !ok || i >= len(s.Vars) || s.Vars[i].Range == Real {
			break
		}
		if set.Text != "N" {
			return Always(), nil
		}
		zero := &syntax.Node{Kind: syntax.Number, Text: "0", At: set.At}
		return s.pair(a, zero, poly.Ge, st, 1)
	}
	return nil, outside(set, "membership in a standard set of numbers is only decided for a variable that is declared an integer")
}

// Compare is the relation between two lowered expressions, false where one of
// them is undefined.
func (s *Scope) Compare(left, right Term, rel poly.Rel) *Formula {
	return s.compare(left.Fraction, right.Fraction, rel, append(append([]poly.Condition(nil), left.Domain...), right.Domain...))
}

// CompareWhereDefined is the relation between two lowered expressions at
// points where both are defined.
func (s *Scope) CompareWhereDefined(left, right Term, rel poly.Rel) *Formula {
	return s.compare(left.Fraction, right.Fraction, rel, nil)
}

// Zero is the term 0.
func (s *Scope) Zero() Term { return Term{Fraction: s.constant(number.Num{})} }
