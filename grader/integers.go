package grader

import (
	"math/big"
	"slices"

	"squaremark/algebra"
	"squaremark/algebra/budget"
	"squaremark/algebra/syntax"
	"squaremark/grader/rubric"
	"squaremark/grader/slip"
)

// integersAnswer is a list of whole numbers that has been judged.
type integersAnswer struct {
	q      *question
	text   rubric.Text
	out    algebra.IntegersOutcome
	slips  []*slip.Slip // what explains a wrong answer
	meets  degree       // infinite sets: some solution is in the answer
	linear bool         // the answer is a right condition without products, to be solved by adding only
}

func (m *question) integers(text rubric.Text) judged {
	q := m.rubric
	out := m.engine.Integers(values(q.Solve), values(q.Unknowns), &text.Value)
	if out.Unreadable != nil {
		return m.say.unreadableAnswer(text, out.Unreadable, q.Rules.Unreadable)
	}
	if out.Verdict == algebra.Unsettled {
		return m.say.unsettledAnswer(text, out.Reason)
	}
	a := &integersAnswer{q: m, text: text, out: out, meets: unmet}
	if out.Verdict == algebra.Holds {
		a.meets = met
		return a
	}
	if !out.AnswerIsSet {
		a.linear = m.solvedButForSums(text.Value)
		return a
	}
	a.slips = m.slips.Integers(values(q.Solve), values(q.Unknowns), text.Value)
	a.meets = m.meets(out)
	return a
}

// solvedButForSums reports an answer such as n + 3 = 7 or n + 3 = -7: a
// condition with the right solutions, without powers and products.
func (m *question) solvedButForSums(answer string) bool {
	r, bad := syntax.Read(answer, budget.New(budget.Default()))
	if bad != nil || hasProduct(r.Root) {
		return false
	}
	model := m.rubric.Model.Text.Value
	return m.engine.Integers([]string{answer}, values(m.rubric.Unknowns), &model).Verdict == algebra.Holds
}

func hasProduct(n *syntax.Node) bool {
	switch n.Kind {
	case syntax.Pow, syntax.Mul, syntax.Div:
		return true
	}
	return slices.ContainsFunc(n.Kids, hasProduct)
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
	return a.q.say.slipFindings(a.slips, wholeAnswer(a.text))
}

func (a *integersAnswer) fact(code string, c *rubric.Criterion) fact {
	f := fact{degree: a.degree(code, c), place: wholeAnswer(a.text), evidence: evidence(a.out.Evidence, a.out.Witness)}
	f.slip = first(a.slips)
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
		return metIf(a.linear && code == "mainly-correct")
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
	case "mainly-correct":
		return a.mainly()
	case "each-solution":
		return a.share()
	case "states-none":
		return metIf(exact && none)
	case "right-up-to-order":
		return metIf(exact || len(a.slips) == 1 && a.slips[0].ID == slip.TupleOrder)
	case "one-slip":
		return metIf(exact || forgiven(a.slips, c))
	}
	return unmet
}

// mainly is met by an answer with some solution that holds no more wrong
// numbers or tuples than right ones.
func (a *integersAnswer) mainly() degree {
	out := a.out
	switch {
	case out.Verdict == algebra.Holds:
		return met
	case out.ExtraText != "" || len(out.Parsed) > 0 && 2*len(out.Extra) > len(out.Parsed):
		return unmet
	}
	return a.meets
}

// forgiven reports that one slip explains the answer, and that a criterion
// forgives it: one that it names, or any that is not too general.
func forgiven(slips []*slip.Slip, c *rubric.Criterion) bool {
	return len(slips) == 1 && (len(c.Slips) == 0 && !slips[0].General || slices.ContainsFunc(c.Slips, func(t rubric.Text) bool { return t.Value == slips[0].ID }))
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
		return a.q.say.restates()
	}
	sentence := ""
	missing := len(out.Missing) > 0 || out.MissingText != ""
	extra := len(out.Extra) > 0 || out.ExtraText != ""
	empty := len(out.Parsed) == 0 && !extra && a.meets.lost()
	none := out.Infinite == "" && len(out.Solutions) == 0
	switch {
	case (code == "some-correct" || code == "mainly-correct") && a.meets.open():
		return a.q.say.unsettled(0, out.Reason)
	case none && code == "states-none" && !extra:
		sentence = a.q.say.notNone()
	case code == "mainly-correct" && a.meets.full():
		sentence = a.q.say.mostlyWrong()
	case (code == "some-correct" || code == "mainly-correct") && !none:
		sentence = a.q.say.noneGiven()
		if empty {
			sentence = a.q.say.thereAre()
		}
	case missing && (code == "complete" || !extra):
		sentence = a.q.say.missing(len(out.Missing), out.MissingText)
		if empty {
			sentence = a.q.say.thereAre()
		}
	case len(out.Extra) > 0:
		sentence = a.q.say.extra(values(a.q.rubric.Unknowns), out.Extra[0], len(out.Extra)-1)
	case extra:
		sentence = a.q.say.extraMany()
	case code == "states-none":
		sentence = a.q.say.notNone()
	default:
		sentence = a.q.say.wrongSet()
	}
	return a.q.say.withSlip(sentence, a.slips)
}
