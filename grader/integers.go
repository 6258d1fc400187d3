package grader

import (
	"math/big"
	"slices"

	"squaremark/algebra"
	"squaremark/grader/rubric"
	"squaremark/grader/slip"
)

// integersAnswer is a list of whole numbers that has been judged.
type integersAnswer struct {
	q     *question
	text  rubric.Text
	out   algebra.IntegersOutcome
	slip  *slip.Slip
	meets degree // infinite sets: some solution is in the answer
}

func (m *question) integers(text rubric.Text) judged {
	q := m.rubric
	out := m.engine.Integers(values(q.Solve), values(q.Unknowns), &text.Value)
	if out.Unreadable != nil {
		return unreadable(text, out.Unreadable, q.Rules.Unreadable)
	}
	if out.Verdict == algebra.Unsettled {
		return unsettled(text, out.Reason)
	}
	a := &integersAnswer{q: m, text: text, out: out, meets: unmet}
	if out.Verdict == algebra.Holds {
		a.meets = met
		return a
	}
	if out.AnswerIsSet {
		a.slip = m.slips.Integers(values(q.Solve), values(q.Unknowns), text.Value)
		a.meets = m.meets(out)
	}
	return a
}

// meets tells whether a wrong answer holds some solution.
func (m *question) meets(out algebra.IntegersOutcome) degree {
	switch {
	case out.Infinite == "":
		return metIf(len(out.Missing) < len(out.Solutions))
	case len(out.Parsed) > 0 && out.ExtraText == "":
		return metIf(len(out.Extra) < len(out.Parsed))
	}
	// Both sets are without end: ask what satisfies the condition and the answer.
	both := m.engine.Integers(append(values(m.rubric.Solve), out.ParsedText), values(m.rubric.Unknowns), nil)
	switch {
	case both.Unreadable != nil || both.Infinite == "" && both.Reason != "":
		return withheld
	}
	return metIf(both.Infinite != "" || len(both.Solutions) > 0)
}

func (a *integersAnswer) understood() string  { return a.out.ParsedText }
func (a *integersAnswer) whole() (fact, bool) { return fact{}, false }

func (a *integersAnswer) report() []Finding {
	if a.slip == nil {
		return []Finding{}
	}
	return []Finding{slipFinding(a.slip.ID, a.slip.Title, wholeAnswer(a.text))}
}

func (a *integersAnswer) fact(code string, c *rubric.Criterion) fact {
	f := fact{degree: a.degree(code, c), place: wholeAnswer(a.text), evidence: evidence(a.out.Evidence, a.out.Witness)}
	if a.slip != nil {
		f.slip = a.slip.ID
	}
	if !f.degree.full() {
		f.because = a.because(code)
	}
	return f
}

func (a *integersAnswer) degree(code string, c *rubric.Criterion) degree {
	out := a.out
	exact := out.Verdict == algebra.Holds
	if code == "is-set" {
		return metIf(out.AnswerIsSet || exact)
	}
	if !out.AnswerIsSet && !exact {
		return unmet
	}
	none := out.Infinite == "" && len(out.Solutions) == 0
	switch code {
	case "exactly-right":
		return metIf(exact)
	case "complete":
		return metIf(exact || len(out.Missing) == 0 && out.MissingText == "")
	case "no-extra":
		return metIf(exact || len(out.Extra) == 0 && out.ExtraText == "")
	case "some-correct":
		return a.meets
	case "each-solution":
		return a.share()
	case "states-none":
		return metIf(exact && none)
	case "right-up-to-order":
		return metIf(exact || a.slip != nil && a.slip.ID == slip.TupleOrder)
	case "one-slip":
		return metIf(exact || forgiven(a.slip, c))
	}
	return unmet
}

// forgiven reports that a criterion forgives this slip.
func forgiven(s *slip.Slip, c *rubric.Criterion) bool {
	return s != nil && (len(c.Slips) == 0 || slices.ContainsFunc(c.Slips, func(t rubric.Text) bool { return t.Value == s.ID }))
}

// share is the share of the solutions that are given, each wrong one taking
// a right one away.
func (a *integersAnswer) share() degree {
	n := len(a.out.Solutions)
	if a.out.Infinite != "" || n == 0 || a.out.ExtraText != "" {
		return metIf(a.out.Verdict == algebra.Holds)
	}
	right := n - len(a.out.Missing) - len(a.out.Extra)
	return partly(big.NewRat(int64(max(right, 0)), int64(n)))
}

func (a *integersAnswer) because(code string) string {
	out := a.out
	if !out.AnswerIsSet {
		return sayRestates()
	}
	sentence := ""
	missing := len(out.Missing) > 0 || out.MissingText != ""
	extra := len(out.Extra) > 0 || out.ExtraText != ""
	empty := len(out.Parsed) == 0 && !extra && a.meets.lost()
	none := out.Infinite == "" && len(out.Solutions) == 0
	switch {
	case code == "some-correct" && a.meets.open():
		return sayUnsettled(0, out.Reason)
	case none && code == "states-none" && !extra:
		sentence = sayNotNone()
	case code == "some-correct" && !none:
		sentence = sayNoneGiven()
		if empty {
			sentence = sayThereAreSome()
		}
	case missing && (code == "complete" || !extra):
		sentence = sayMissing(len(out.Missing), out.MissingText)
		if empty {
			sentence = sayThereAreSome()
		}
	case len(out.Extra) > 0:
		sentence = sayExtra(values(a.q.rubric.Unknowns), out.Extra[0], len(out.Extra)-1)
	case extra:
		sentence = sayExtraMany()
	case code == "states-none":
		sentence = sayNotNone()
	default:
		sentence = sayWrongSet()
	}
	return withSlip(sentence, a.slip)
}
