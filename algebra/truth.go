package algebra

import (
	"squaremark/algebra/decide"
	"squaremark/algebra/formula"
	"squaremark/algebra/integer"
	"squaremark/algebra/poly"
	"squaremark/algebra/source"
)

// Truth asks whether a statement holds for all values that satisfy the
// assumptions and for which all its parts are defined. Points left out for
// the second reason are noted.
// Cost: bounded by the question's limits. Errors: Unreadable.
func (q *Question) Truth(statement string) Outcome {
	s, texts, bad := q.open("statement", statement)
	if bad != nil && bad.general {
		return q.seriesTruth(statement)
	}
	if bad != nil {
		return *bad
	}
	st, err := s.WhereDefined(texts[0].root)
	if err != nil {
		return *failed("statement", err)
	}
	given := formula.And(s.given, defined(st.Domain))
	a := decide.Always(s.Scope, given, st.Body)
	out := s.outcome(a)
	switch out.Verdict {
	case Fails:
		s.addSides(out.Witness, texts[0].root, a.Cases[0])
	case Unsettled:
		s.overIntegers(&out, formula.And(given, formula.Not(st.Body)))
	}
	s.noteDomain(&out, st.Domain)
	return out
}

// overIntegers settles what the real procedures left open when all variables
// are integers: the exceptions, found as an integer solution set, are none.
func (s *session) overIntegers(out *Outcome, exceptions *formula.Formula) {
	unknowns := make([]int, len(s.Vars))
	for i, v := range s.Vars {
		if unknowns[i] = i; v.Range == formula.Real {
			return
		}
	}
	if len(unknowns) == 0 || s.meter.Exhausted() {
		return
	}
	set, err := integer.Solve(s.Scope, exceptions, unknowns, s.meter)
	if err != nil || !set.Finite || len(set.Tuples) > 0 || s.meter.Exhausted() {
		return
	}
	out.Verdict, out.Reason = Holds, ""
	out.Evidence = &Evidence{Kind: "enumeration", Text: "no integers are an exception", Steps: set.Evidence}
}

// Identity asks whether two expressions are equal for all values that satisfy
// the assumptions and for which both are defined.
// Cost: that of multiplying both out; bounded by the question's limits.
func (q *Question) Identity(left, right string) Outcome {
	left, right = decimalCommas(left, q.limits), decimalCommas(right, q.limits)
	s, texts, bad := q.open("left", left, "right", right)
	if bad != nil && bad.general {
		return q.seriesIdentity(left, right)
	}
	if bad != nil {
		return *bad
	}
	var sides [2]formula.Term
	for i, t := range texts {
		term, err := s.Expression(t.root)
		if err != nil {
			return *failed(t.field, err)
		}
		sides[i] = term
	}
	return s.equal(sides[0], sides[1])
}

// equal asks whether two terms of the session are equal wherever both are
// defined.
func (s *session) equal(left, right formula.Term) Outcome {
	domain := append(append([]poly.Condition(nil), left.Domain...), right.Domain...)
	body := s.CompareWhereDefined(left, right, poly.Eq)
	a := decide.Always(s.Scope, formula.And(s.given, defined(domain)), body)
	out := s.outcome(a)
	switch out.Verdict {
	case Holds:
		if body.Op == formula.True {
			out.Evidence = &Evidence{Kind: "identity", Text: "both sides multiply out to " + s.text(left)}
		}
	case Fails:
		out.Witness.Left, out.Witness.Right = s.valueAt(left, a.Cases[0]), s.valueAt(right, a.Cases[0])
	}
	s.noteDomain(&out, domain)
	return out
}

// text is a term multiplied out.
func (s *session) text(t formula.Term) string {
	if p, ok := s.IsPolynomial(t.Fraction); ok {
		return s.Ring.String(p)
	}
	return "(" + s.Ring.String(t.Num) + ")/(" + s.Ring.String(t.Den) + ")"
}

// noteDomain notes the points left out because some part is undefined there.
func (s *session) noteDomain(out *Outcome, domain []poly.Condition) {
	seen := map[string]bool{}
	for _, c := range domain {
		text := s.Ring.String(c.P) + " " + c.Rel.String() + " 0"
		if _, constant := c.P.IsConst(); constant || seen[text] {
			continue
		}
		seen[text] = true
		out.Notes = append(out.Notes, &source.Diag{Severity: source.Note, Code: "only-where-defined", Message: "asked only where " + text})
	}
}
