package grader

import (
	"slices"

	"squaremark/algebra"
	"squaremark/grader/rubric"
)

func (a *stepsAnswer) fact(code string, c *rubric.Criterion) fact {
	f := a.find(code, c)
	if f.degree.full() {
		f.because = ""
	}
	return f
}

func (a *stepsAnswer) find(code string, c *rubric.Criterion) fact {
	switch code {
	case "starts-at-claim":
		return a.startsAtClaim()
	case "first-step-ok":
		if len(a.steps) == 0 {
			return fact{because: a.q.say.noSteps(), degree: unmet}
		}
		return a.steps[0].fact(a.steps[0].own)
	case "sound-start":
		return a.soundStart()
	case "each-step-ok":
		return a.each(func(s step) degree { return s.own })
	case "ok-share":
		return a.share(c.FollowThrough)
	case "no-leap":
		return a.each(func(s step) degree { return s.without(algebra.StepLeap) })
	case "no-false-step":
		return a.each(func(s step) degree { return s.without(algebra.StepWrong, algebra.StepNeedsCondition) })
	case "links-written":
		return a.linksWritten()
	case "uses-move":
		return a.usesMove(c)
	case "reaches-square-form":
		return a.reaches(c.FollowThrough)
	case "arrives":
		return a.arrives()
	case "conclusion":
		return a.conclusion(c.FollowThrough)
	case "direction":
		switch {
		case len(a.steps) == 0 && !a.out.Concludes:
			return fact{degree: unmet, because: a.q.say.noSteps()}
		case a.out.DirectionOK:
			return fact{degree: met}
		}
		return a.absent(a.q.say.wrongDirection(a.out.Reason), nil)
	case "correct":
		return a.correct()
	case "one-slip":
		return a.oneSlip(c)
	}
	return fact{degree: unmet}
}

// each is met as far as the worst step is; the first of the worst explains.
func (a *stepsAnswer) each(of func(step) degree) fact {
	if len(a.steps) == 0 {
		return fact{degree: unmet, because: a.q.say.noSteps()}
	}
	worst := a.steps[0].fact(of(a.steps[0]))
	for _, s := range a.steps[1:] {
		d := worst.degree.and(of(s))
		if d.low.Cmp(worst.degree.low) < 0 || d.high.Cmp(worst.degree.high) < 0 {
			worst = s.fact(d)
		}
	}
	return worst
}

// without is met unless the step has one of these labels; what could not be
// read or settled might have.
func (s step) without(labels ...algebra.Label) degree {
	switch {
	case slices.Contains(labels, s.Label):
		return unmet
	case s.Label == algebra.StepUnsettled:
		return withheld
	case s.Label == algebra.StepUnreadable:
		return s.own
	}
	return met
}

func (a *stepsAnswer) share(followThrough bool) fact {
	var list []degree
	explain := fact{because: a.q.say.noSteps()}
	found := false
	for _, s := range a.steps {
		d := s.own
		if !followThrough {
			d = s.resting
		}
		if !d.full() && !found {
			explain, found = s.fact(d), true
		}
		list = append(list, d)
	}
	explain.degree = mean(list)
	return explain
}

// absent is a fact about something that was not found: it may still be there
// when a person has looked at the lines that could not be judged.
func (a *stepsAnswer) absent(sentence string, place *Place) fact {
	for _, s := range a.steps {
		if s.own.open() {
			return fact{degree: withheld, because: a.q.say.waits(s.Line + 1), place: s.place}
		}
	}
	if a.out.Unsettled {
		return fact{degree: withheld, because: a.q.say.unsettled(0, a.out.Reason), place: place}
	}
	return fact{degree: unmet, because: sentence, place: place}
}

// afterwards is a fact about what rests on a step that is not right, or
// that a person still judges.
func (a *stepsAnswer) afterwards(s *step, d degree) fact {
	f := s.fact(d)
	f.because = a.q.say.afterSlip(s.Line + 1)
	if d.open() {
		f.because = a.q.say.waits(s.Line + 1)
	}
	return f
}

// resting is met when every step up to the line is right, and the first step
// that is not.
func (a *stepsAnswer) resting(line int) (degree, *step) {
	d := met
	var first *step
	for i, s := range a.steps {
		if s.Line > line {
			break
		}
		d = d.and(gateOf(s.own))
		if first == nil && !gateOf(s.own).full() {
			first = &a.steps[i]
		}
	}
	return d, first
}

func (a *stepsAnswer) startsAtClaim() fact {
	f := fact{degree: unmet, because: a.q.say.notAtClaim(), place: a.placeOfLine(0)}
	if len(a.steps) > 0 && a.steps[0].Line == 0 {
		s := a.steps[0]
		if a.q.rubric.Start != string(algebra.StartFact) && slices.Contains(s.From, -1) {
			f.degree = gateOf(s.own)
			f.because = s.because
		}
		return f
	}
	// A chain of this line alone has no step where the line is the claim.
	first := algebra.Line{Text: a.lines[0].Text.Value}
	alone := a.q.probe.Steps(a.q.rubric.Claim.Value, []algebra.Line{first}, algebra.StartClaim)
	f.degree = metIf(len(alone.Steps) == 0)
	return f
}

func (a *stepsAnswer) linksWritten() fact {
	for _, s := range a.steps {
		if s.Silent && s.Line > 0 {
			return fact{degree: unmet, because: a.q.say.silent(s.Line + 1), place: s.place}
		}
	}
	return fact{degree: metIf(len(a.steps) > 0), because: a.q.say.noSteps()}
}

func (a *stepsAnswer) usesMove(c *rubric.Criterion) fact {
	moves := values(c.Moves)
	best := fact{degree: unmet, because: a.q.say.noMove(moves)}
	for _, s := range a.steps {
		d := s.own
		if !c.FollowThrough {
			d = s.resting
		}
		used := slices.ContainsFunc(s.Moves, func(m string) bool { return slices.Contains(moves, m) })
		if !used && !(d.open() && len(s.Moves) == 0) {
			continue
		}
		if !used { // what a person settles may be the move
			d = withheld
		}
		if better := best.degree.or(d); better.low.Cmp(best.degree.low) > 0 || better.high.Cmp(best.degree.high) > 0 {
			best = s.fact(better)
			if best.because == "" {
				best.because = a.q.say.noMove(moves)
			}
		}
	}
	return best
}

func (a *stepsAnswer) correct() fact {
	if a.out.Correct {
		return fact{degree: met}
	}
	if f := a.each(func(s step) degree { return s.own }); !f.degree.full() {
		return f
	}
	if !a.out.DirectionOK {
		return a.absent(a.q.say.wrongDirection(a.out.Reason), nil)
	}
	if !a.out.Concludes {
		return a.conclusion(true)
	}
	// Only the rules of the rubric make every step count.
	for _, s := range a.steps {
		if s.Label != algebra.StepOK {
			return s.fact(unmet)
		}
	}
	return a.absent(a.q.say.noConclusion(a.out.Reason), nil)
}

// oneSlip is met by a chain that is right but for one step, which a forgiven
// slip explains.
func (a *stepsAnswer) oneSlip(c *rubric.Criterion) fact {
	if a.out.Correct {
		return fact{degree: met}
	}
	var wrong []step
	for _, s := range a.steps {
		if !s.own.full() {
			wrong = append(wrong, s)
		}
	}
	if len(wrong) == 1 && forgiven(wrong[0].slips, c) && a.out.Concludes {
		return wrong[0].fact(met)
	}
	if len(wrong) > 0 {
		f := a.absent(wrong[0].because, wrong[0].place)
		f.evidence = evidence(wrong[0].Evidence, wrong[0].Witness)
		return f
	}
	if !a.out.DirectionOK {
		return a.absent(a.q.say.wrongDirection(a.out.Reason), nil)
	}
	return a.conclusion(true)
}
