package grader

import (
	"strings"

	"squaremark/algebra"
	"squaremark/algebra/source"
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
	slip   *slip.Slip
}

func (m *question) squareForm(text rubric.Text) judged {
	q := m.rubric
	out := m.engine.SquareForm(q.Expression.Value, text.Value)
	if out.Unreadable != nil {
		return unreadable(text, out.Unreadable, q.Rules.Unreadable)
	}
	if out.Verdict == algebra.Unsettled {
		return unsettled(text, out.Reason)
	}
	a := &squareAnswer{q: m, text: text, last: lastOf(text.Value), out: out}
	if out.Verdict == algebra.Fails {
		a.slip = m.slips.SquareForm(q.Expression.Value, a.last)
	}
	a.square = a.rightSquare()
	return a
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
		return fact{degree: unmet, because: sayNoSquareForm(a.out.Shape)}
	case out.Verdict == algebra.Holds:
		return fact{degree: met}
	case out.Verdict == algebra.Unsettled || w == nil || w.Left == "" || w.Right == "" || w.Left == "undefined" || w.Right == "undefined":
		return fact{degree: withheld, because: sayUnsettled(0, out.Reason)}
	}
	shifted := a.q.engine.Identity(expression, "("+a.last+")+(("+w.Left+")-("+w.Right+"))")
	switch shifted.Verdict {
	case algebra.Holds:
		return fact{degree: met, evidence: evidence(shifted.Evidence, nil)}
	case algebra.Fails:
		return fact{degree: unmet, because: sayOtherSquare(w), evidence: evidence(nil, w)}
	}
	return fact{degree: withheld, because: sayUnsettled(0, shifted.Reason)}
}

func (a *squareAnswer) understood() string {
	if plain, ok := rubric.Understand(a.text.Value); ok {
		return plain
	}
	return source.Shorten(a.text.Value, shown)
}

func (a *squareAnswer) whole() (fact, bool) { return fact{}, false }

func (a *squareAnswer) report() []Finding {
	if a.slip == nil {
		return []Finding{}
	}
	return []Finding{slipFinding(a.slip.ID, a.slip.Title, wholeAnswer(a.text))}
}

func (a *squareAnswer) fact(code string, c *rubric.Criterion) fact {
	equal := a.out.Verdict == algebra.Holds
	f := fact{degree: unmet}
	switch code {
	case "equal":
		f = fact{degree: metIf(equal), because: sayDiffers(a.out.Witness), evidence: evidence(a.out.Evidence, a.out.Witness)}
	case "square-form":
		f = fact{degree: metIf(a.out.IsSquareForm), because: sayNoSquareForm(a.out.Shape)}
	case "right-square":
		f = a.square
	case "remaining-constant":
		f = a.constant(c.FollowThrough)
	case "one-slip":
		right := equal && a.out.IsSquareForm
		f = fact{degree: metIf(right || a.out.IsSquareForm && forgiven(a.slip, c)), because: sayDiffers(a.out.Witness)}
		if equal {
			f.because = sayNoSquareForm(a.out.Shape)
		}
	}
	f.place = wholeAnswer(a.text)
	if a.slip != nil {
		f.slip = a.slip.ID
	}
	if f.degree.full() {
		f.because = ""
	} else if !f.degree.open() && a.out.IsSquareForm {
		f.because = withSlip(f.because, a.slip)
	}
	return f
}

// constant asks whether the number beside the squares is that of the model,
// or, with follow-through, whether it makes up for the pupil's own squares:
// the answer has the constant term of the expression.
func (a *squareAnswer) constant(followThrough bool) fact {
	lost := fact{degree: unmet, because: sayOtherConstant(a.out.Remaining)}
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
	return fact{degree: withheld, because: sayUnsettled(0, out.Reason)}
}
