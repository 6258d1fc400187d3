package algebra

import (
	"fmt"

	"squaremark/algebra/decide"
	"squaremark/algebra/evidence"
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/syntax"
)

// outcome turns an answer of the decision procedures into texts.
func (s *session) outcome(a decide.Answer) Outcome {
	out := Outcome{Verdict: a.Verdict, Reason: a.Reason, Notes: s.notes}
	switch a.Verdict {
	case Holds:
		out.Evidence = proofOf(a.Cases)
	case Fails:
		c := a.Cases[0]
		out.Witness = &Witness{Point: s.pointText(c)}
		out.Evidence = &Evidence{Kind: "point", Text: describe(out.Witness), Data: []*evidence.Record{evidence.Write(c.Conj, nil, c.Point, c.Root)}}
	}
	return out
}

// proofOf gathers the refutations of all cases.
func proofOf(cases []decide.Case) *Evidence {
	e := &Evidence{Kind: "identity", Text: "both sides are the same after multiplying out"}
	var records []*evidence.Record
	for i, c := range cases {
		records = append(records, evidence.Write(c.Conj, c.Refutation, nil, nil))
		line := evidence.Sentence(c.Conj, c.Refutation)
		e.Steps = append(e.Steps, line)
		switch {
		case i > 0:
			e.Kind = "cases"
			e.Text = fmt.Sprintf("in each of %d cases", len(cases))
		default:
			e.Kind, e.Text = kindOf(c.Refutation), line
		}
	}
	e.Data = records
	return e
}

func kindOf(r evidence.Refutation) string {
	switch r := r.(type) {
	case *evidence.OneVariable:
		return "sign table"
	case *evidence.Cases:
		return "cases"
	case *evidence.Substitution:
		return kindOf(r.Then)
	}
	return "squares"
}

// pointText lists the declared variables of the scope with their values.
func (s *session) pointText(c decide.Case) []Value {
	var list []Value
	for i, v := range s.Vars {
		if c.Root != nil {
			if i == c.Root.Var {
				list = append(list, Value{v.Name, rootText(s, c.Root)})
			}
			continue
		}
		list = append(list, Value{v.Name, c.Point[i].String()})
	}
	return list
}

func rootText(s *session, r *evidence.RootPoint) string {
	return fmt.Sprintf("the root of %s between %s and %s", s.Ring.String(r.Of), r.Lo, r.Hi)
}

func describe(w *Witness) string {
	text := "at "
	for i, v := range w.Point {
		if i > 0 {
			text += ", "
		}
		text += v.Name + " = " + v.Value
	}
	return text
}

// valueAt is the exact value of a term at the point of a case as text,
// "undefined" where it has none, "" where the point is not made of numbers.
func (s *session) valueAt(t formula.Term, c decide.Case) string {
	v, state := s.evaluate(t, c)
	if state != "" {
		return state
	}
	return v.String()
}

// evaluate gives the value of a term at the point of a case. The symbols of
// roots get the values their radicands have there, whatever the point says:
// a case need not fix those it does not mention.
func (s *session) evaluate(t formula.Term, c decide.Case) (number.Num, string) {
	const none, undefined = "?", "undefined"
	if c.Point == nil {
		return number.Num{}, none
	}
	point := append(evidence.Point(nil), c.Point...)
	for _, y := range s.Symbols {
		den := s.Ring.EvalAll(y.Of.Den, point)
		v, ok := s.Ring.EvalAll(y.Of.Num, point).Div(den)
		if !ok || y.Power%2 == 0 && v.Sign() < 0 {
			continue // a domain condition of every term that uses it is false
		}
		root, ok := formula.RootOfNumber(v, y.Power)
		if !ok {
			if !y.Defines(s.Ring, point) {
				return number.Num{}, none
			}
			continue
		}
		point[y.Var] = root
	}
	for _, d := range t.Domain {
		if !d.Rel.Holds(s.Ring.EvalAll(d.P, point).Sign()) {
			return number.Num{}, undefined
		}
	}
	v, ok := s.Ring.EvalAll(t.Num, point).Div(s.Ring.EvalAll(t.Den, point))
	if !ok {
		return v, undefined
	}
	return v, ""
}

// addSides gives a witness the values of both sides of the first relation in
// a formula that is false there.
func (s *session) addSides(w *Witness, n *syntax.Node, c decide.Case) {
	left, right, _ := s.falseSides(n, c)
	w.Left, w.Right = left, right
}

func (s *session) falseSides(n *syntax.Node, c decide.Case) (left, right string, found bool) {
	switch n.Kind {
	case syntax.And:
		for _, k := range n.Kids {
			if left, right, found = s.falseSides(k, c); found {
				return left, right, true
			}
		}
	case syntax.Relation:
		for i, rel := range n.Rels {
			a, errA := s.Expression(n.Kids[i])
			b, errB := s.Expression(n.Kids[i+1])
			if errA != nil || errB != nil {
				return "", "", false
			}
			x, stateX := s.evaluate(a, c)
			y, stateY := s.evaluate(b, c)
			if stateX == "?" || stateY == "?" {
				return "", "", false
			}
			if stateX != "" || stateY != "" || !relHolds(rel, x.Cmp(y)) {
				return s.valueAt(a, c), s.valueAt(b, c), true
			}
		}
	}
	return "", "", false
}

func relHolds(r syntax.Rel, cmp int) bool {
	switch r {
	case syntax.Eq:
		return cmp == 0
	case syntax.Ne:
		return cmp != 0
	case syntax.Lt:
		return cmp < 0
	case syntax.Le:
		return cmp <= 0
	case syntax.Gt:
		return cmp > 0
	default:
		return cmp >= 0
	}
}
