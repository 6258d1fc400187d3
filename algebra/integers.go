package algebra

import (
	"errors"
	"fmt"
	"math/big"

	"squaremark/algebra/formula"
	"squaremark/algebra/integer"
	"squaremark/algebra/source"
	"squaremark/algebra/syntax"
)

// Integers solves conditions for integer unknowns and, where an answer is
// given, compares it with the solutions. The unknowns range over the integers
// whatever they are declared as (over the positive ones where they are
// declared so). Assumptions that concern the unknowns count as conditions.
// Cost: bounded by the question's limits. Errors: Unreadable.
func (q *Question) Integers(solve, unknowns []string, answer *string) IntegersOutcome {
	whole, bad := q.overIntegers(unknowns)
	if bad != nil {
		return IntegersOutcome{Outcome: *bad}
	}
	var fields []string
	for i, text := range solve {
		name := "solve"
		if len(solve) > 1 {
			name = fmt.Sprintf("solve[%d]", i)
		}
		fields = append(fields, name, text)
	}
	for i, u := range unknowns {
		fields = append(fields, fmt.Sprintf("unknowns[%d]", i), u)
	}
	asking := len(fields) / 2
	var fault *Outcome
	if answer != nil {
		if fault = whole.readable(*answer); fault == nil {
			fields = append(fields, "answer", *answer)
		}
	}
	s, texts, bad := whole.open(fields...)
	if bad != nil {
		return IntegersOutcome{Outcome: *bad}
	}
	asked := s.given
	for _, t := range texts[:len(solve)] {
		st, err := s.Formula(t.root)
		if err != nil {
			return IntegersOutcome{Outcome: *failed(t.field, err)}
		}
		asked = formula.And(asked, st.Body)
	}
	index := make([]int, len(unknowns))
	for i, t := range texts[len(solve):asking] {
		index[i], _ = s.Ring.Index(syntax.Plain(t.root))
	}
	set, err := integer.Solve(s.Scope, asked, index, s.meter)
	if err != nil {
		return IntegersOutcome{Outcome: unsettledBy(err)}
	}
	out := IntegersOutcome{Solutions: tuples(set.Tuples), Infinite: set.Text}
	out.Notes = s.notes
	out.Evidence = &Evidence{Kind: "enumeration", Text: summary(set), Steps: set.Evidence}
	switch {
	case fault != nil:
		out.Unreadable, out.Reason = fault.Unreadable, fault.Reason
	case answer != nil:
		s.compare(set, texts[asking].root, &out)
	}
	return out
}

// readable tells what is wrong with an answer by itself, so that the question
// is solved whatever the answer is.
func (q *Question) readable(answer string) *Outcome {
	_, _, bad := q.open("answer", answer)
	return bad
}

// compare reads an answer as a set and sets it against the solutions.
func (s *session) compare(set *integer.Set, root *syntax.Node, out *IntegersOutcome) {
	a, err := integer.Read(alternatives(root), set, s.meter)
	var unsettled *integer.Unsettled
	switch {
	case errors.As(err, &unsettled):
		out.Reason = unsettled.Reason
		return
	case err != nil:
		bad := failed("answer", err)
		out.Unreadable, out.Reason = bad.Unreadable, bad.Reason
		return
	}
	out.ParsedText, out.AnswerIsSet = a.Text, a.IsSet
	if !a.IsSet {
		out.Verdict, out.Reason = Fails, a.Why
		return
	}
	out.Parsed = tuples(a.Set.Tuples)
	c, err := integer.Compare(set, a, s.meter)
	if err != nil {
		out.Reason = unsettledBy(err).Reason
		return
	}
	out.Missing, out.Extra = tuples(c.Missing), tuples(c.Extra)
	out.MissingText, out.ExtraText = c.MissingText, c.ExtraText
	out.Verdict = Fails
	if c.Correct {
		out.Verdict = Holds
	}
	if s.meter.Exhausted() {
		out.Verdict, out.Reason = Unsettled, s.meter.Err().Error()
	}
}

// alternatives reads "x = 1 and x = -2" in an answer as the list that it is
// meant to be: different values of one unknown cannot hold together.
func alternatives(n *syntax.Node) *syntax.Node {
	if n.Kind != syntax.And {
		return n
	}
	for _, k := range n.Kids {
		if k.Kind != syntax.Relation || len(k.Rels) != 1 || k.Rels[0] != syntax.Eq || k.Kids[0].Kind != syntax.Name ||
			!syntax.Equal(k.Kids[0], n.Kids[0].Kids[0]) || hasName(k.Kids[1]) {
			return n
		}
	}
	or := *n
	or.Kind = syntax.Or
	return &or
}

// overIntegers is the question with its unknowns ranging over the integers.
func (q *Question) overIntegers(unknowns []string) (*Question, *Outcome) {
	out := &Question{assume: q.assume, cycle: q.cycle, limits: q.limits, vars: append([]formula.Variable(nil), q.vars...)}
	for i, u := range unknowns {
		name, ok := variableName(u, q.limits)
		known := false
		for k, v := range out.vars {
			if ok && v.Name == name {
				known = true
				if v.Range == formula.Real {
					out.vars[k].Range = formula.Integer
				}
			}
		}
		if !known {
			return nil, &Outcome{Unreadable: setting(fmt.Sprintf("unknowns[%d]", i), fmt.Sprintf("expected a variable of the question, found %q", source.Shorten(u, 20)))}
		}
	}
	if len(unknowns) == 0 {
		return nil, &Outcome{Unreadable: setting("unknowns", "expected at least one unknown")}
	}
	return out, nil
}

func unsettledBy(err error) Outcome {
	var u *integer.Unsettled
	if errors.As(err, &u) {
		return Outcome{Reason: u.Reason}
	}
	return Outcome{Reason: err.Error()}
}

func summary(set *integer.Set) string {
	switch {
	case !set.Finite:
		return "infinitely many: " + set.Text
	case len(set.Tuples) == 0:
		return "no solution"
	case len(set.Tuples) == 1:
		return "1 solution"
	}
	return fmt.Sprintf("%d solutions", len(set.Tuples))
}

func tuples(list [][]*big.Int) []Tuple {
	out := make([]Tuple, len(list))
	for i, t := range list {
		out[i] = make(Tuple, len(t))
		for k, v := range t {
			out[i][k] = v.String()
		}
	}
	return out
}
