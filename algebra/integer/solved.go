package integer

import (
	"squaremark/algebra/decide/onevar"
	"squaremark/algebra/formula"
	"squaremark/algebra/syntax"
)

// statement turns an answer that is a set, an interval or a set built by a
// condition into a statement about the unknowns.
func (r *reader) statement(n *syntax.Node) (*syntax.Node, error) {
	switch n.Kind {
	case syntax.Interval, syntax.Union, syntax.Intersection, syntax.Without, syntax.Standard, syntax.Set, syntax.List:
		if len(r.names) > 1 {
			return nil, mistake(n, "write tuples such as (1, 2), (2, 1)", "expected tuples, found "+syntax.Plain(n))
		}
		return &syntax.Node{Kind: syntax.In, At: n.At, Kids: []*syntax.Node{r.names[0], n}}, nil
	case syntax.Compose:
		subject := n.Kids[0]
		inner, err := r.statement(n.Kids[1])
		if err != nil {
			return nil, err
		}
		if subject.Kind == syntax.In {
			return &syntax.Node{Kind: syntax.And, At: n.At, Kids: []*syntax.Node{subject, inner}}, nil
		}
		if subject.Kind == syntax.Tuple {
			for i, k := range subject.Kids {
				if j, ok := r.unknown(k); !ok || i != j {
					return nil, &formula.OutsideError{At: subject.At, Reason: "a set of values of expressions is not decided here"}
				}
			}
			return inner, nil
		}
		if _, ok := r.unknown(subject); !ok {
			return nil, &formula.OutsideError{At: subject.At, Reason: "a set of values of expressions is not decided here"}
		}
		return inner, nil
	case syntax.And, syntax.Or:
		m := *n
		m.Kids = make([]*syntax.Node, len(n.Kids))
		for i, k := range n.Kids {
			inner, err := r.statement(k)
			if err != nil {
				return nil, err
			}
			m.Kids[i] = inner
		}
		return &m, nil
	case syntax.In:
		// A set written out is read as "x = its members", in which ± has both
		// signs.
		if k := n.Kids[1].Kind; !n.Negated && (k == syntax.Set || k == syntax.List) && len(n.Kids[1].Kids) > 0 {
			list := *n.Kids[1]
			list.Kind = syntax.List
			return &syntax.Node{Kind: syntax.Relation, At: n.At, Rels: []syntax.Rel{syntax.Eq}, Kids: []*syntax.Node{n.Kids[0], &list}}, nil
		}
	case syntax.Relation, syntax.Not, syntax.Implies, syntax.Iff, syntax.None:
	default:
		return nil, mistake(n, "", "expected a list of solutions or a formula, found "+syntax.Plain(n))
	}
	return n, nil
}

// unsolved says what keeps a statement from being an answer, "" when it is in
// solved form.
func (r *reader) unsolved(n *syntax.Node) string {
	switch n.Kind {
	case syntax.And, syntax.Or, syntax.Not:
		for _, k := range n.Kids {
			if why := r.unsolved(k); why != "" {
				return why
			}
		}
		return ""
	case syntax.None:
		return ""
	case syntax.Relation:
		for i := range n.Rels {
			if !r.atom(n.Kids[i], n.Kids[i+1], n.Rels[i]) {
				return "the answer is not solved: " + syntax.Plain(n)
			}
		}
		return ""
	case syntax.In:
		if r.subject(n.Kids[0]) && r.numeric(n.Kids[1]) {
			return ""
		}
	}
	return "the answer is not solved: " + syntax.Plain(n)
}

// atom reports one relation in solved form.
func (r *reader) atom(a, b *syntax.Node, rel syntax.Rel) bool {
	switch {
	case r.subject(a) && (r.numeric(b) || r.subject(b)), r.numeric(a) && r.subject(b):
		return true
	case r.modulus(a) && r.numeric(b), r.numeric(a) && r.modulus(b):
		return true
	case rel == syntax.Eq && len(r.names) > 1:
		return r.given(a, b) || r.given(b, a)
	}
	return false
}

// subject reports an unknown by itself, a tuple or a list of unknowns.
func (r *reader) subject(n *syntax.Node) bool {
	if n.Kind == syntax.Tuple || n.Kind == syntax.List {
		for _, k := range n.Kids {
			if !r.subject(k) {
				return false
			}
		}
		return true
	}
	_, ok := r.unknown(n)
	return ok
}

// numeric reports a number, or a set, list, tuple or interval of numbers.
func (r *reader) numeric(n *syntax.Node) bool {
	switch n.Kind {
	case syntax.Set, syntax.List, syntax.Tuple, syntax.Interval, syntax.Union, syntax.Intersection, syntax.Without:
		for _, k := range n.Kids {
			if !r.numeric(k) {
				return false
			}
		}
		return true
	case syntax.Standard, syntax.None, syntax.Infinity:
		return true
	case syntax.Neg, syntax.Plus:
		if n.Kids[0].Kind == syntax.Infinity {
			return true
		}
	}
	return r.constant(n)
}

// modulus reports |x| where the question has no modulus.
func (r *reader) modulus(n *syntax.Node) bool {
	if n.Kind != syntax.Abs || !r.subject(n.Kids[0]) {
		return false
	}
	used := map[int]bool{}
	for _, c := range r.question.condition.f.Conditions() {
		for _, v := range r.scope.Ring.Vars(c.P) {
			used[v] = true
		}
	}
	for _, y := range r.scope.Symbols {
		if y.Abs != nil && used[y.Var] {
			return false
		}
	}
	return true
}

// given reports an unknown by itself on one side that does not occur on the
// other.
func (r *reader) given(a, b *syntax.Node) bool {
	i, ok := r.unknown(a)
	return ok && !occurs(b, r.names[i])
}

func occurs(n, name *syntax.Node) bool {
	if syntax.Equal(n, name) {
		return true
	}
	for _, k := range n.Kids {
		if occurs(k, name) {
			return true
		}
	}
	return false
}

// restates reports a condition of the question, other than a linear one, that
// stands in the answer unchanged up to a constant factor.
func (r *reader) restates(f *formula.Formula) bool {
	ring := r.scope.Ring
	for _, c := range f.Conditions() {
		if c.P.Degree() < 2 || len(ring.Vars(c.P)) < 2 {
			continue
		}
		for _, d := range r.question.condition.f.Conditions() {
			if ring.Equal(ring.Primitive(c.P), ring.Primitive(d.P)) {
				return true
			}
		}
	}
	return false
}

// notIntegers lists the single values of an answer in one unknown that are
// not integers.
func (r *reader) notIntegers(f *formula.Formula) ([]string, error) {
	if len(r.names) > 1 {
		return nil, nil
	}
	reals, ok := onevar.Solve(r.scope, f, r.question.condition.unknowns[0])
	if !ok {
		return nil, unsettled("the answer was not solved over the real numbers")
	}
	var list []string
	for _, span := range reals.Spans() {
		if !span.IsPoint() {
			continue
		}
		if v, ok := span.Lo.At.Num(); !ok || !v.IsInteger() {
			list = append(list, span.Lo.At.String())
		}
	}
	return list, nil
}
