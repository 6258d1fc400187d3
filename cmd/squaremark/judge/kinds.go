package judge

import (
	"squaremark/algebra"
	"squaremark/algebra/budget"
	"squaremark/grader/slip"
)

// finder looks for the slips behind wrong answers to the question.
func (in *request) finder() *slip.Finder {
	return slip.NewFinder(in.declared(), in.Assume, budget.Default())
}

func (in *request) squareForm(q *algebra.Question) reply {
	if in.Answer == nil {
		return reply{Error: &failure{Message: "expected an answer", At: &place{Field: "answer"}}}
	}
	o := q.SquareForm(in.Expression, *in.Answer)
	if o.Unreadable != nil {
		return reply{Error: failureOf(o.Unreadable)}
	}
	r := outcomeReply(o.Outcome)
	r.Verdict = ""
	if o.Verdict == algebra.Unsettled {
		r.Verdict = o.Verdict.String()
	} else {
		equal := o.Verdict == algebra.Holds
		r.Equal = &equal
		if !equal {
			r.Mistakes = named(in.finder().SquareForm(in.Expression, *in.Answer))
		}
	}
	r.SquareForm = &o.IsSquareForm
	if o.IsSquareForm {
		r.Remaining = &o.Remaining
	} else if o.Shape != "" {
		r.Notes = append(r.Notes, o.Shape)
	}
	return r
}

func (in *request) integers(q *algebra.Question) reply {
	o := q.Integers(in.Solve, in.Unknowns, in.Answer)
	r := reply{Evidence: o.Evidence, Notes: notes(o.Notes)}
	if o.Unreadable != nil {
		r.Error = failureOf(o.Unreadable)
	}
	switch {
	case o.Infinite != "":
		r.Solutions = map[string]string{"infinite": o.Infinite}
	case o.Evidence != nil:
		r.Solutions = tuples(o.Solutions)
	case r.Error == nil:
		r.Verdict, r.Reason = algebra.Unsettled.String(), o.Reason
	}
	if in.Answer == nil || o.Unreadable != nil || o.Evidence == nil {
		return r
	}
	if o.Verdict == algebra.Unsettled {
		r.Verdict, r.Reason = o.Verdict.String(), o.Reason
		return r
	}
	correct := o.Verdict == algebra.Holds
	r.Correct = &correct
	r.Parsed = tuplesOr(o.Parsed, o.ParsedText)
	r.Missing, r.Extra = tuplesOr(o.Missing, o.MissingText), tuplesOr(o.Extra, o.ExtraText)
	if !correct {
		r.Mistakes = named(in.finder().Integers(in.Solve, in.Unknowns, *in.Answer))
		if !o.AnswerIsSet {
			r.Notes = append(r.Notes, "the answer restates the question")
		}
	}
	return r
}

// tuples is never nil, so that an empty list is written as one.
func tuples(list []algebra.Tuple) []algebra.Tuple {
	if list == nil {
		return []algebra.Tuple{}
	}
	return list
}

// tuplesOr is a list of tuples, or {"infinite": text} where there is a text
// and no list.
func tuplesOr(list []algebra.Tuple, text string) any {
	if len(list) == 0 && text != "" {
		return map[string]string{"infinite": text}
	}
	return tuples(list)
}

// named lists the ids of slips.
func named(slips []*slip.Slip) []string {
	var list []string
	for _, s := range slips {
		list = append(list, s.ID)
	}
	return list
}

func (in *request) steps(q *algebra.Question) reply {
	lines := make([]algebra.Line, len(in.Lines))
	for i, l := range in.Lines {
		lines[i] = algebra.Line{Text: l.Rel, Link: l.Link}
	}
	o := q.Steps(in.Claim, lines, algebra.Start(in.Start))
	if o.Unreadable != nil {
		return reply{Error: failureOf(o.Unreadable)}
	}
	r := reply{Direction: &o.DirectionOK, Reversible: &o.Reversible, Concludes: &o.Concludes, Correct: &o.Correct, Reason: o.Reason}
	finder := in.finder()
	r.Steps = make([]stepReply, len(o.Steps))
	for i, s := range o.Steps {
		out := stepReply{Label: string(s.Label), Condition: s.Condition, Witness: pointOf(s.Witness), Evidence: s.Evidence, Reason: s.Reason}
		if len(s.Moves) > 0 {
			out.Move = s.Moves[0]
		}
		if s.Unreadable != nil {
			out.Error = failureOf(s.Unreadable)
		}
		if found := named(finder.Step(s.Label, s.Before, s.After)); len(found) > 0 {
			out.Slip = found[0]
			r.Mistakes = append(r.Mistakes, found...)
		}
		r.Steps[i] = out
	}
	return r
}
