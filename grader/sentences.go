package grader

import (
	"strconv"
	"strings"

	"squaremark/algebra"
	"squaremark/grader/rubric"
	"squaremark/grader/slip"
	"squaremark/grader/wording"
)

// voice puts what is found into the sentences of one language. The sentences
// stand in package wording.
type voice struct{ *wording.Language }

// teachers speak English: the checks of a rubric are for them.
var teachers = voice{wording.For("en")}

// because is the longer sentence with a reason, or the plain one where there is none.
func (v voice) because(id, reason string, slots ...string) string {
	if reason == "" {
		return v.Say(id, slots...)
	}
	return v.Say(id+"-why", append(slots, "why", reason)...)
}

func (v voice) unanswered() string { return v.Say("unanswered") }

func (v voice) tooLong(bytes int) string { return v.Say("too-long", "count", strconv.Itoa(bytes)) }

func (v voice) tooManyLines(most int) string {
	return v.Say("too-many-lines", "count", strconv.Itoa(most))
}

func (v voice) unreadable(line int, place *Place, code, message string) string {
	what := v.Say("the-answer")
	if line > 0 {
		what = v.Say("line.start", "line", strconv.Itoa(line))
	}
	id := "unreadable"
	slots := []string{"what", what}
	if place != nil && place.Line > 0 {
		id = "unreadable-at"
		if place.Line > 1 && line == 0 {
			id = "unreadable-line"
		}
		slots = append(slots, "row", strconv.Itoa(place.Line), "column", strconv.Itoa(place.Column))
	}
	return v.because(id, v.Fault(code, message), slots...)
}

func (v voice) unsettled(line int, reason string) string {
	what := v.Say("this-answer")
	if line > 0 {
		what = v.Say("line.start", "line", strconv.Itoa(line))
	}
	return v.because("unsettled", v.Engine(reason), "what", what)
}

func ended(s string) string { return wording.Ended(s) }

func (v voice) met(c *rubric.Criterion) string { return v.meaning(c.For[0].Value) }

func (v voice) meaning(code string) string {
	info, _ := rubric.FindingByCode(code)
	return v.Finding(code, info.Meaning)
}

func (v voice) needs(id string, open bool) string {
	if open {
		return v.Say("needs-open", "mark", strconv.Quote(id))
	}
	return v.Say("needs", "mark", strconv.Quote(id))
}

func (v voice) notBest() string { return v.Say("not-best") }
func (v voice) capped() string  { return v.Say("capped") }

func (v voice) notEarned(id string) string { return v.Say("not-earned", "mark", strconv.Quote(id)) }

// method is the hint that a rubric may allow.
func (v voice) method(kind rubric.Kind) string { return v.Say("method-" + string(kind)) }

// Integers.

func (v voice) restates() string { return v.Say("restates") }

func (v voice) missing(count int, without string) string {
	switch {
	case without != "" || count < 0:
		return v.Say("missing-some")
	case count == 1:
		return v.Say("missing-one")
	}
	return v.Say("missing-many", "count", strconv.Itoa(count))
}

func (v voice) extra(unknowns []string, extra algebra.Tuple, more int) string {
	try := make([]string, len(extra))
	for i, value := range extra {
		name := v.Say("the-number")
		if i < len(unknowns) {
			name = unknowns[i]
		}
		try[i] = name + " = " + value
	}
	if more > 0 {
		return v.Say("extra-more", "point", strings.Join(try, ", "), "count", strconv.Itoa(more))
	}
	return v.Say("extra", "point", strings.Join(try, ", "))
}

func (v voice) extraMany() string   { return v.Say("extra-many") }
func (v voice) noneGiven() string   { return v.Say("none-given") }
func (v voice) mostlyWrong() string { return v.Say("mostly-wrong") }
func (v voice) thereAre() string    { return v.Say("there-are") }
func (v voice) notNone() string     { return v.Say("not-none") }
func (v voice) wrongSet() string    { return v.Say("wrong-set") }

// Square forms.

func (v voice) differs(w *algebra.Witness) string {
	if w == nil || w.Left == "" {
		return v.Say("differs")
	}
	return v.Say("differs-at", "point", point(w), "left", w.Left, "right", w.Right)
}

func (v voice) noSquareForm(shape string) string {
	return v.because("no-square-form", v.Engine(shape))
}

func (v voice) otherSquare(w *algebra.Witness) string {
	if w == nil || w.Left == "" {
		return v.Say("other-square")
	}
	return v.Say("other-square-at", "point", point(w), "left", w.Left, "right", w.Right)
}

func (v voice) otherConstant(remaining string) string {
	if remaining == "" {
		return v.Say("no-number-beside")
	}
	return v.Say("other-number-beside", "number", remaining)
}

// Steps.

func (v voice) noSteps() string { return v.Say("no-steps") }

// named is a line or the claim in every form that a sentence needs.
func (v voice) named(slot string, i int) []string {
	id, line := "line", strconv.Itoa(i+1)
	if i < 0 {
		id = "claim"
	}
	return []string{
		slot, v.Say(id, "line", line), slot + ".from", v.Say(id+".from", "line", line),
		slot + ".to", v.Say(id+".to", "line", line),
	}
}

// came names the line that a step comes from.
func (v voice) came(slot string, step algebra.Step) []string {
	if len(step.From) == 0 {
		return []string{slot, v.Say("before"), slot + ".from", v.Say("before.from"), slot + ".to", v.Say("before.to")}
	}
	return v.named(slot, step.From[0])
}

func (v voice) step(step algebra.Step) string {
	line, before := v.named("line", step.Line), v.came("before", step)
	slots := append(append([]string{"Line", v.Say("line.start", "line", strconv.Itoa(step.Line+1))}, line...), before...)
	with := func(id string, where string) string { return v.Say(id, append(slots, "where", where)...) }
	fresh := v.where(step.Witness, v.came("holds", step), v.named("fails", step.Line))
	back := v.where(step.Witness, v.named("holds", step.Line), v.came("fails", step))
	switch step.Label {
	case algebra.StepWrong:
		if step.Forward == algebra.Fails && step.Link != "<=" {
			return with("not-forward", fresh)
		}
		return with("not-backward", back)
	case algebra.StepOneWay:
		if step.Forward == algebra.Holds {
			return with("only-forward", back)
		}
		return with("only-backward", fresh)
	case algebra.StepNeedsCondition:
		slots = append(slots, "condition", orSomething(strings.ReplaceAll(step.Condition, " and ", " "+v.Say("and")+" "), v.Say("a-condition")))
		return with("needs-condition", v.try(step.Witness))
	case algebra.StepLeap:
		if w := step.Witness; w != nil && w.Left != "" {
			return v.Say("leap-at", append(slots, "point", point(w), "left", w.Left, "right", w.Right)...)
		}
		return v.Say("leap", slots...)
	case algebra.StepUnsettled:
		return v.unsettled(step.Line+1, step.Reason)
	}
	return v.Say("step-not-right", slots...)
}

func orSomething(condition, something string) string {
	if condition == "" {
		return something
	}
	return condition
}

// where is a point at which one line holds and the other does not, with the
// values of both sides of the other.
func (v voice) where(w *algebra.Witness, holds, fails []string) string {
	if w == nil || len(w.Point) == 0 {
		return ""
	}
	slots := append(append([]string{"point", point(w)}, holds...), fails...)
	if w.Left == "" || w.Right == "" {
		return v.Say("at-point", slots...)
	}
	return v.Say("at-point-sides", append(slots, "left", w.Left, "right", w.Right)...)
}

// try is a number to try.
func (v voice) try(w *algebra.Witness) string {
	if w == nil || len(w.Point) == 0 {
		return ""
	}
	return v.Say("try", "point", point(w))
}

func point(w *algebra.Witness) string {
	parts := make([]string, len(w.Point))
	for i, v := range w.Point {
		parts[i] = v.Name + " = " + v.Value
	}
	return strings.Join(parts, ", ")
}

func (v voice) silent(line int) string { return v.Say("silent", "line", strconv.Itoa(line)) }
func (v voice) notAtClaim() string     { return v.Say("not-at-claim") }
func (v voice) onlyClaim() string      { return v.Say("only-claim") }
func (v voice) noSquares() string      { return v.Say("no-squares") }
func (v voice) notTheClaim() string    { return v.Say("not-the-claim") }

func (v voice) noMove(moves []string) string {
	return v.Say("no-move", "moves", strings.Join(moves, " "+v.Say("or")+" "))
}

func (v voice) noConclusion(reason string) string {
	return v.because("no-conclusion", v.Engine(reason))
}

func (v voice) wrongDirection(reason string) string {
	return v.because("wrong-direction", v.Engine(reason))
}

func (v voice) waits(line int) string { return v.Say("waits", "line", strconv.Itoa(line)) }

func (v voice) afterSlip(line int) string { return v.Say("after-slip", "line", strconv.Itoa(line)) }

// Slips.

// withSlip adds to a sentence that named slips give exactly what was written.
func (v voice) withSlip(sentence string, slips []*slip.Slip) string {
	switch len(slips) {
	case 0:
		return sentence
	case 1:
		return v.Say("with-slip", "sentence", ended(sentence), "slip", v.slip(slips[0]).Text)
	}
	return v.Say("with-slips", "sentence", ended(sentence), "slip", v.slip(slips[0]).Text, "other", v.slip(slips[1]).Text)
}

func (v voice) slip(s *slip.Slip) wording.Slip {
	return v.SlipWords(s.ID, wording.Slip{Title: s.Title, Text: s.Text})
}
