package grader

import (
	"strings"

	"squaremark/algebra"
	"squaremark/algebra/budget"
	"squaremark/algebra/source"
	"squaremark/algebra/syntax"
	"squaremark/grader/rubric"
	"squaremark/grader/slip"
)

// squareAnswer is an expression that has been judged.
type squareAnswer struct {
	q      *question
	text   rubric.Text
	last   string // the last of the expressions that the answer sets equal
	out    algebra.SquareFormOutcome
	square fact // right-square
	slips  []*slip.Slip
}

func (m *question) squareForm(text rubric.Text) judged {
	q := m.rubric
	out := m.engine.SquareForm(q.Expression.Value, text.Value)
	if out.Unreadable != nil {
		if shorter, ok := m.beforeInequality(text); ok {
			return m.squareForm(shorter)
		}
		return m.say.unreadableAnswer(text, out.Unreadable, q.Rules.Unreadable)
	}
	if out.Verdict == algebra.Unsettled {
		return m.say.unsettledAnswer(text, out.Reason)
	}
	a := &squareAnswer{q: m, text: text, last: lastOf(text.Value), out: out}
	if out.Verdict == algebra.Fails {
		a.slips = m.slips.SquareForm(q.Expression.Value, a.last)
	}
	a.square = a.rightSquare()
	return a
}

// beforeInequality is the first part of an answer that goes on to say, truly,
// what the squares show: (x - 7)² + 11 >= 11.
func (m *question) beforeInequality(text rubric.Text) (rubric.Text, bool) {
	r, bad := syntax.Read(text.Value, budget.New(budget.Default()))
	if bad != nil || r.Root.Kind != syntax.Relation {
		return text, false
	}
	for i, rel := range r.Root.Rels {
		if rel == syntax.Eq {
			continue
		}
		if m.engine.Truth(text.Value).Verdict != algebra.Holds {
			return text, false
		}
		part := *r.Root
		part.Kids, part.Rels = part.Kids[:i+1], part.Rels[:i]
		if i == 0 {
			part = *r.Root.Kids[0]
		}
		return rubric.Plain(syntax.Plain(&part)), true
	}
	return text, false
}

// lastOf is the expression in which a chain of equal ones ends.
func lastOf(text string) string {
	return strings.TrimSpace(text[strings.LastIndex(text, "=")+1:])
}

// rightSquare asks whether the answer differs from the expression by a number
// only. If it does, that number is their difference at any one point, so one
// identity decides.
func (a *squareAnswer) rightSquare() fact {
	expression := a.q.rubric.Expression.Value
	out := a.q.engine.Identity(expression, a.last)
	w := out.Witness
	switch {
	case !a.out.IsSquareForm:
		return fact{degree: unmet, because: a.q.say.noSquareForm(a.out.Shape)}
	case out.Verdict == algebra.Holds:
		return fact{degree: met}
	case out.Verdict == algebra.Unsettled || w == nil || w.Left == "" || w.Right == "" || w.Left == "undefined" || w.Right == "undefined":
		return fact{degree: withheld, because: a.q.say.unsettled(0, out.Reason)}
	}
	shifted := a.q.engine.Identity(expression, "("+a.last+")+(("+w.Left+")-("+w.Right+"))")
	switch shifted.Verdict {
	case algebra.Holds:
		return fact{degree: met, evidence: evidence(shifted.Evidence, nil)}
	case algebra.Fails:
		return fact{degree: unmet, because: a.q.say.otherSquare(w), evidence: evidence(nil, w)}
	}
	return fact{degree: withheld, because: a.q.say.unsettled(0, shifted.Reason)}
}

func (a *squareAnswer) understood() string {
	if plain, ok := rubric.Understand(a.text.Value); ok {
		return plain
	}
	return source.Shorten(a.text.Value, shown)
}

func (a *squareAnswer) whole() (fact, bool) { return fact{}, false }

func (a *squareAnswer) report() []Finding {
	return a.q.say.slipFindings(a.slips, wholeAnswer(a.text))
}

func (a *squareAnswer) fact(code string, c *rubric.Criterion) fact {
	equal := a.out.Verdict == algebra.Holds
	f := fact{degree: unmet}
	switch code {
	case "equal":
		f = fact{degree: metIf(equal), because: a.q.say.differs(a.out.Witness), evidence: evidence(a.out.Evidence, a.out.Witness)}
	case "square-form":
		f = fact{degree: metIf(a.out.IsSquareForm), because: a.q.say.noSquareForm(a.out.Shape)}
	case "right-square":
		f = a.square
	case "remaining-constant":
		f = a.constant(c.FollowThrough)
	case "one-slip":
		right := equal && a.out.IsSquareForm
		f = fact{degree: metIf(right || a.out.IsSquareForm && forgiven(a.slips, c)), because: a.q.say.differs(a.out.Witness)}
		if equal {
			f.because = a.q.say.noSquareForm(a.out.Shape)
		}
	}
	f.place = wholeAnswer(a.text)
	f.slip = first(a.slips)
	if f.degree.full() {
		f.because = ""
	} else if !f.degree.open() && a.out.IsSquareForm {
		f.because = a.q.say.withSlip(f.because, a.slips)
	}
	return f
}

// constant asks whether the number beside the squares is that of the model,
// or, with follow-through, whether it makes up for the pupil's own squares:
// the answer has the constant term of the expression.
func (a *squareAnswer) constant(followThrough bool) fact {
	lost := fact{degree: unmet, because: a.q.say.otherConstant(a.out.Remaining)}
	if !a.out.IsSquareForm {
		return lost
	}
	if a.out.Remaining == a.q.remaining {
		return fact{degree: met}
	}
	if !followThrough || a.q.origin == nil {
		return lost
	}
	if a.q.engine.Identity(a.last, a.out.Remaining).Verdict != algebra.Fails {
		return lost // no square at all
	}
	out := a.q.origin.Truth("(" + a.q.rubric.Expression.Value + ") = (" + a.last + ")")
	switch out.Verdict {
	case algebra.Holds:
		return fact{degree: met, evidence: evidence(out.Evidence, nil)}
	case algebra.Fails:
		return lost
	}
	return fact{degree: withheld, because: a.q.say.unsettled(0, out.Reason)}
}
