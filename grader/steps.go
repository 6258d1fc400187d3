package grader

import (
	"squaremark/algebra"
	"squaremark/algebra/source"
	"squaremark/grader/rubric"
	"squaremark/grader/slip"
)

// stepsAnswer is a chain that has been judged.
type stepsAnswer struct {
	q     *question
	lines []rubric.Line
	out   algebra.StepsOutcome
	steps []step
	ends  map[bool]fact // reaches-square-form, with and without follow-through
}

// step is one step with what it is worth and why.
type step struct {
	algebra.Step
	own     degree // judged from the pupil's own line before it
	resting degree // the same, as far as all steps before are right
	because string // why it is not right; "" where it is
	place   *Place
	slips   []*slip.Slip
}

func (m *question) chain(lines []rubric.Line) judged {
	written := make([]algebra.Line, len(lines))
	for i, l := range lines {
		written[i] = algebra.Line{Text: l.Text.Value, Link: l.Link}
	}
	a := &stepsAnswer{q: m, lines: lines}
	a.out = m.argument(written)
	before := met
	for _, s := range a.out.Steps {
		if s.Line < 0 || s.Line >= len(lines) {
			continue
		}
		judged := a.judge(s)
		judged.resting = judged.own.and(before)
		before = before.and(gateOf(judged.own))
		a.steps = append(a.steps, judged)
	}
	return a
}

// argument judges a chain. A complete proof counts whichever way it runs; the
// start that the rubric names tells how to read a chain that is not one. A
// chain from the opposite of the claim is a proof by contradiction.
func (m *question) argument(lines []algebra.Line) algebra.StepsOutcome {
	out := m.engine.Steps(m.rubric.Claim.Value, lines, algebra.StartAuto)
	if out.Correct {
		return out
	}
	if indirect, ok := m.byContradiction(lines); ok {
		return indirect
	}
	if start := algebra.Start(m.rubric.Start); start != algebra.StartAuto {
		return m.engine.Steps(m.rubric.Claim.Value, lines, start)
	}
	return out
}

// judge applies the rules to one step, and looks for the slip behind it.
func (a *stepsAnswer) judge(s algebra.Step) step {
	rules := a.q.rubric.Rules
	out := step{Step: s, own: met, place: a.placeOfLine(s.Line)}
	switch s.Label {
	case algebra.StepOK:
	case algebra.StepOneWay:
		out.own = degreeOf(rules.OneWay)
	case algebra.StepLeap:
		out.own = degreeOf(rules.Leap)
	case algebra.StepUnreadable:
		out.own = degreeOf(rules.Unreadable)
		message, code := s.Reason, ""
		if s.Unreadable != nil && s.Unreadable.Diag != nil {
			d := s.Unreadable.Diag
			message, code = a.lines[s.Line].Text.Fault(d).Message, d.Code
			out.place = placeOf(s.Line+1, a.lines[s.Line].Text, d.At.Start, d.Text)
		}
		out.because = a.q.say.unreadable(s.Line+1, out.place, code, message)
		return out
	case algebra.StepWrong, algebra.StepNeedsCondition:
		out.own = unmet
	default:
		out.own = withheld
	}
	if s.Label != algebra.StepOK {
		out.because = a.q.say.step(s)
		if s.Before != "" && s.After != "" {
			out.slips = a.q.slips.Step(s.Label, s.Before, s.After)
			out.because = a.q.say.withSlip(out.because, out.slips)
		}
	}
	if s.Silent && s.Line > 0 && !degreeOf(rules.SilentLink).full() {
		out.own = out.own.times(degreeOf(rules.SilentLink))
		if out.because == "" {
			out.because = a.q.say.silent(s.Line + 1)
		}
	}
	return out
}

func (a *stepsAnswer) placeOfLine(i int) *Place {
	t := a.lines[i].Text
	return placeOf(i+1, t, source.Position{Line: 1, Column: 1}, t.Value)
}

func (a *stepsAnswer) understood() string {
	text := ""
	for i, l := range a.lines {
		if i > 0 {
			text += "\n"
		}
		if l.Link != "" {
			text += l.Link + " "
		}
		if plain, ok := rubric.Understand(l.Text.Value); ok {
			text += plain
		} else {
			text += source.Shorten(l.Text.Value, shown)
		}
	}
	return text
}

func (a *stepsAnswer) whole() (fact, bool) { return fact{}, false }

// report tells the judgement of each line, and the slips.
func (a *stepsAnswer) report() []Finding {
	list := []Finding{}
	for _, s := range a.steps {
		detail := string(s.Label)
		for i, m := range s.Moves {
			if i == 0 {
				detail += ": "
			} else {
				detail += ", "
			}
			detail += m
		}
		list = append(list, Finding{
			Code: "line", State: s.own.state(), Place: s.place, Detail: detail, Slip: first(s.slips), Evidence: evidence(s.Evidence, s.Witness),
		})
		if s.Label == algebra.StepUnreadable {
			list = append(list, Finding{Code: "unreadable", State: s.own.state(), Place: s.place, Detail: s.because})
		}
		list = append(list, a.q.say.slipFindings(s.slips, s.place)...)
	}
	return list
}

// from is a fact about the chain that rests on one step.
func (s step) fact(d degree) fact {
	return fact{degree: d, place: s.place, because: s.because, slip: first(s.slips), evidence: evidence(s.Evidence, s.Witness)}
}
