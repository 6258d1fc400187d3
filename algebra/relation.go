package algebra

import (
	"squaremark/algebra/decide"
	"squaremark/algebra/formula"
	"squaremark/algebra/syntax"
)

// Relation asks which of two statements implies the other under the
// assumptions. A statement counts as false where a part of it is undefined.
// Cost: two questions, together bounded by the question's limits.
func (q *Question) Relation(left, right string) RelationOutcome {
	s, texts, bad := q.open("left", left, "right", right)
	if bad != nil && bad.general {
		return q.seriesRelation(left, right)
	}
	if bad != nil {
		return RelationOutcome{Relation: RelationUnsettled, Forward: *bad, Backward: *bad}
	}
	var bodies [2]*formula.Formula
	for i, t := range texts {
		st, err := s.Formula(t.root)
		if err != nil {
			out := *failed(t.field, err)
			return RelationOutcome{Relation: RelationUnsettled, Forward: out, Backward: out}
		}
		bodies[i] = st.Body
	}
	forward := s.implies(bodies[0], bodies[1], texts[1].root)
	backward := s.implies(bodies[1], bodies[0], texts[0].root)
	return RelationOutcome{Relation: relationOf(forward.Verdict, backward.Verdict), Forward: forward, Backward: backward}
}

// implies asks whether one statement follows from another; target is the tree
// of the second, for the values of its sides at a witness.
func (s *session) implies(from, to *formula.Formula, target *syntax.Node) Outcome {
	a := decide.Always(s.Scope, formula.And(s.given, from), to)
	out := s.outcome(a)
	if out.Verdict == Fails {
		s.addSides(out.Witness, target, a.Cases[0])
	}
	return out
}

func relationOf(forward, backward Verdict) Relation {
	switch {
	case forward == Unsettled || backward == Unsettled:
		return RelationUnsettled
	case forward == Holds && backward == Holds:
		return Equivalent
	case forward == Holds:
		return ForwardOnly
	case backward == Holds:
		return BackwardOnly
	}
	return Neither
}
