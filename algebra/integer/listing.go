package integer

import (
	"squaremark/algebra/number"
	"squaremark/algebra/syntax"
)

// listing reads an answer in which every value is written out: none, a list,
// a set, tuples, x = 0, 1 or 2, x in {1, 2}, x = 1 and y = 2 or x = 2 and
// y = 1. ok is false for any other form.
func (r *reader) listing(n *syntax.Node) (list []partial, ok bool, err error) {
	switch n.Kind {
	case syntax.None:
		return nil, true, nil
	case syntax.Or, syntax.And:
		return r.joined(n)
	case syntax.Relation:
		if len(n.Rels) == 1 && n.Rels[0] == syntax.Eq {
			return r.assigned(n.Kids[0], n.Kids[1])
		}
	case syntax.In:
		if !n.Negated && (n.Kids[1].Kind == syntax.Set || n.Kids[1].Kind == syntax.List || n.Kids[1].Kind == syntax.None) {
			return r.assigned(n.Kids[0], n.Kids[1])
		}
	case syntax.Set, syntax.List, syntax.Tuple:
		return r.tuples(n)
	default:
		if len(r.names) == 1 && r.constant(n) {
			return r.assigned(r.names[0], n)
		}
	}
	return nil, false, nil
}

// joined reads "or" as one list after the other, "and" as values that belong
// together.
func (r *reader) joined(n *syntax.Node) ([]partial, bool, error) {
	var list []partial
	for i, k := range n.Kids {
		more, ok, err := r.listing(k)
		if !ok || err != nil {
			return nil, false, err
		}
		if n.Kind == syntax.Or || i == 0 {
			list = append(list, more...)
			continue
		}
		var both []partial
		for _, p := range list {
			for _, q := range more {
				if t, ok := merged(p, q); ok {
					both = append(both, t)
				}
				if len(both) > MaxListed {
					return nil, false, nil
				}
			}
		}
		list = both
	}
	return list, true, nil
}

// merged joins two partial assignments; false when they disagree.
func merged(p, q partial) (partial, bool) {
	t := append(partial(nil), p...)
	for i, v := range q {
		switch {
		case v == nil:
		case t[i] == nil:
			t[i] = v
		case !t[i].Equal(*v):
			return nil, false
		}
	}
	return t, true
}

// assigned reads "x = values" and "(x, y) = tuples".
func (r *reader) assigned(left, right *syntax.Node) ([]partial, bool, error) {
	if left.Kind == syntax.Tuple {
		if len(left.Kids) != len(r.names) {
			return nil, false, nil
		}
		for i, k := range left.Kids {
			if j, ok := r.unknown(k); !ok || i != j {
				return nil, false, nil
			}
		}
		return r.tuples(right)
	}
	i, ok := r.unknown(left)
	if !ok {
		return nil, false, nil
	}
	values, ok, err := r.elements(right)
	if !ok || err != nil {
		return nil, false, err
	}
	list := make([]partial, len(values))
	for k := range values {
		list[k] = make(partial, len(r.names))
		list[k][i] = &values[k]
	}
	return list, true, nil
}

// tuples reads a tuple, or a list or set of tuples; with one unknown of
// values; and, for several unknowns, a bare list of one value for each.
func (r *reader) tuples(n *syntax.Node) ([]partial, bool, error) {
	if len(r.names) == 1 {
		if n.Kind == syntax.Tuple {
			return nil, false, mistake(n, "write 1, 2 or {1, 2}", "expected values of "+r.question.Unknowns[0]+", found a tuple")
		}
		return r.assigned(r.names[0], n)
	}
	nested := n.Kind == syntax.Set
	for _, k := range n.Kids {
		nested = nested || k.Kind == syntax.Tuple
	}
	if !nested {
		return r.tuple(n)
	}
	var list []partial
	for _, k := range n.Kids {
		if k.Kind != syntax.Tuple {
			return nil, false, nil
		}
		more, ok, err := r.tuple(k)
		if !ok || err != nil {
			return nil, false, err
		}
		list = append(list, more...)
	}
	return list, true, nil
}

// tuple reads one value for each unknown; ± gives two tuples for each sign.
func (r *reader) tuple(n *syntax.Node) ([]partial, bool, error) {
	if len(n.Kids) != len(r.names) {
		return nil, false, mistake(n, "", "expected one value for each of the unknowns")
	}
	list := []partial{make(partial, len(r.names))}
	for i, k := range n.Kids {
		values, ok, err := r.values(k)
		if !ok || err != nil {
			return nil, false, err
		}
		var next []partial
		for _, p := range list {
			for j := range values {
				q := append(partial(nil), p...)
				q[i] = &values[j]
				next = append(next, q)
			}
		}
		list = next
	}
	return list, true, nil
}

// elements lists the values of one unknown: one value, or those of a list or
// set, dots filled in.
func (r *reader) elements(n *syntax.Node) ([]number.Num, bool, error) {
	if n.Kind == syntax.None {
		return nil, true, nil
	}
	if n.Kind != syntax.List && n.Kind != syntax.Set {
		return r.values(n)
	}
	var list []number.Num
	for i, k := range n.Kids {
		if k.Kind == syntax.Ellipsis && len(k.Kids) == 0 {
			if i == 0 || i+1 >= len(n.Kids) {
				return nil, false, nil
			}
			last, ok, err := r.values(n.Kids[i+1])
			if !ok || err != nil || len(last) != 1 {
				return nil, false, err
			}
			between, ok := r.dots(list, last[0])
			if !ok {
				return nil, false, mistake(n, "write out the values before the dots so that the step is seen", "the dots do not lead from the values before them to the value after them")
			}
			list = append(list, between...)
			continue
		}
		values, ok, err := r.values(k)
		if !ok || err != nil {
			return nil, false, err
		}
		list = append(list, values...)
	}
	return list, true, nil
}

// dots fills in the values between the last of list and the value after the
// dots, in the step of the last two values, or in steps of 1.
func (r *reader) dots(list []number.Num, last number.Num) ([]number.Num, bool) {
	if len(list) == 0 {
		return nil, false
	}
	at := list[len(list)-1]
	step := number.Int(int64(last.Cmp(at)))
	if len(list) > 1 {
		step = at.Sub(list[len(list)-2])
	}
	n, ok := last.Sub(at).Div(step)
	if !ok || !n.IsInteger() || n.Sign() <= 0 || n.Cmp(number.Int(MaxListed)) > 0 {
		return nil, false
	}
	count, _ := n.Int64()
	if !r.m.Spend(count) {
		return nil, false
	}
	var between []number.Num
	for range count - 1 {
		at = at.Add(step)
		between = append(between, at)
	}
	return between, true
}

// values is the number that an expression without unknowns stands for, or the
// two that it stands for with ±.
func (r *reader) values(n *syntax.Node) ([]number.Num, bool, error) {
	if !r.constant(n) {
		return nil, false, nil
	}
	var list []number.Num
	for _, sign := range []int{1, -1} {
		t, err := r.scope.Expression(signed(n, sign))
		if err != nil {
			return nil, false, err
		}
		v, ok := t.Value()
		if !ok {
			return nil, false, nil
		}
		list = append(list, v)
		if !has(n, syntax.PlusMinus) || v.IsZero() {
			break
		}
	}
	return list, true, nil
}

// signed is n with + or − for each ±.
func signed(n *syntax.Node, sign int) *syntax.Node {
	if !has(n, syntax.PlusMinus) {
		return n
	}
	m := *n
	m.Kids = make([]*syntax.Node, len(n.Kids))
	for i, k := range n.Kids {
		m.Kids[i] = signed(k, sign)
	}
	if n.Kind == syntax.PlusMinus {
		m.Kind = map[bool]syntax.Kind{true: syntax.Add, false: syntax.Sub}[sign > 0]
		if len(n.Kids) == 1 {
			m.Kind = map[bool]syntax.Kind{true: syntax.Plus, false: syntax.Neg}[sign > 0]
		}
	}
	return &m
}

func has(n *syntax.Node, kind syntax.Kind) bool {
	if n.Kind == kind {
		return true
	}
	for _, k := range n.Kids {
		if has(k, kind) {
			return true
		}
	}
	return false
}

// constant reports an expression without variables.
func (r *reader) constant(n *syntax.Node) bool {
	switch n.Kind {
	case syntax.Number, syntax.Neg, syntax.Plus, syntax.Add, syntax.Sub, syntax.Mul, syntax.Div, syntax.Pow, syntax.Root, syntax.Abs, syntax.PlusMinus:
	default:
		return false
	}
	for _, k := range n.Kids {
		if !r.constant(k) {
			return false
		}
	}
	return true
}
