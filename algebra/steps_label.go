package algebra

import (
	"squaremark/algebra/decide"
	"squaremark/algebra/evidence"
	"squaremark/algebra/formula"
	"squaremark/algebra/move"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// label judges one step.
func (c *chain) label(s *link) Step {
	step := Step{Line: s.to.index, Link: s.claimed.String(), Silent: s.silent, After: s.to.plain(), Notes: s.to.reading.notes}
	if s.from != nil {
		step.Before = s.from.plain()
		step.From = []int{s.from.index}
	}
	switch {
	case s.to.unreadable != nil:
		step.Label, step.Unreadable, step.Reason = StepUnreadable, s.to.unreadable, s.to.unreadable.Diag.Message
		return step
	case !s.to.readable():
		step.Label, step.Reason = StepUnsettled, s.to.outside
		return step
	case s.to.name != "":
		step.Label, step.Moves, step.From = StepOK, []string{"introduce-name"}, nil
		step.Forward, step.Backward = Holds, Holds
		return step
	}
	s.local = c.setting.Within(c.meter.Part(c.q.limits.Work / stepShare)) // whatever the search has used up
	j := judge{chain: c, link: s, step: &step}
	j.run()
	if step.Label != StepOK {
		step.Forward, step.Backward = j.verdict(true), j.verdict(false)
	} else {
		step.Forward, step.Backward = j.settledVerdict(true), j.settledVerdict(false)
	}
	return step
}

// judge is the work on one label.
type judge struct {
	*chain
	*link
	step *Step
}

func (j *judge) way(forward bool) move.Way {
	if forward {
		return j.found.Forward
	}
	return j.found.Backward
}

func (j *judge) moves(forward bool) []string {
	if forward {
		return j.found.ForwardMoves
	}
	return j.found.BackwardMoves
}

// proved reports a direction to which moves lead. For sums, few terms are
// looked at apart.
func (j *judge) proved(forward bool) bool {
	return j.way(forward).Status == move.Proved && (j.sums == nil || j.outcome(forward).Verdict != Fails)
}

// needed is the direction that the argument as a whole needs.
func (j *judge) needed() bool { return j.fact }

func (j *judge) run() {
	wantForward, wantBackward := j.claimed != syntax.Backward, j.claimed != syntax.Forward
	switch {
	case (!wantForward || j.proved(true)) && (!wantBackward || j.proved(false)):
		j.ok(wantForward)
	case wantForward && wantBackward && (j.proved(true) || j.proved(false)):
		j.halfProved(j.proved(true))
	case j.way(wantForward).Status == move.Conditional:
		j.needsCondition(wantForward)
	default:
		j.unmoved(wantForward, wantBackward)
	}
}

func (j *judge) ok(forward bool) {
	j.step.Label = StepOK
	j.step.Moves = j.moves(forward)
	if uses := j.way(forward).Uses; len(uses) > 0 && forward {
		j.step.From = fromLines(uses)
	}
	j.step.Evidence = j.identity()
}

// halfProved judges a two-way link of which moves prove the direction done.
func (j *judge) halfProved(done bool) {
	open := !done
	verdict := j.verdict(open)
	conditional := j.way(open).Status == move.Conditional
	// The move that was made is the one from the line before: when it is the
	// one that lacks its condition, the condition is what is told. A root taken
	// without its second sign is told as the loss it is.
	lost := contains(j.moves(open), "take-roots")
	if conditional && (open && !lost || j.way(open).Domain || verdict != Fails) {
		j.needsCondition(open)
		return
	}
	switch {
	case verdict == Unsettled:
		j.unsettled(open)
	case verdict == Fails && j.way(done).Plain:
		j.step.Label, j.step.Moves = StepOneWay, j.moves(done)
		j.step.Witness = j.outcome(open).Witness
		j.step.Evidence = j.outcome(open).Evidence
		j.step.Reason = oneWayReason(done)
	case verdict == Fails:
		j.wrong(open)
	case j.way(done).Plain && done == j.needed():
		j.ok(done)
	case j.sameExpression():
		j.step.Label, j.step.Moves = StepOneWay, j.moves(done)
		j.step.Reason = oneWayReason(done) + "; back it is true only because both lines are"
	default:
		j.leap()
	}
}

func oneWayReason(forward bool) string {
	if forward {
		return "the new line follows from the one before, not the other way round"
	}
	return "the line before follows from the new one, not the other way round"
}

// sameExpression reports two relations that differ in strictness only.
func (j *judge) sameExpression() bool {
	return contains(j.found.ForwardMoves, "strict-to-loose") || contains(j.found.BackwardMoves, "strict-to-loose")
}

func contains(list []string, id string) bool {
	for _, x := range list {
		if x == id {
			return true
		}
	}
	return false
}

// needsCondition judges a move whose condition is not established in a
// direction that is claimed. A condition that in fact holds everywhere, and
// was not accepted because it says what is to be shown, leaves a leap.
func (j *judge) needsCondition(forward bool) {
	w := j.way(forward)
	var broken *Witness
	sure := false
	for _, need := range w.Needs {
		if j.sums != nil || j.local.Ring.Meter().Exhausted() {
			sure = true
			break
		}
		a := decide.Impossible(j.local.Scope, formula.And(j.given, formula.Not(formula.Condition(need))))
		switch a.Verdict {
		case evidence.Fails:
			broken = &Witness{Point: j.session.pointText(a.Cases[0])}
		case evidence.Unsettled:
			sure = true
		}
		if broken != nil {
			break
		}
	}
	if broken == nil && !sure {
		j.unmoved(j.claimed != syntax.Backward, j.claimed != syntax.Forward)
		return
	}
	j.step.Label = StepNeedsCondition
	j.step.Moves = j.moves(forward)
	j.step.Condition = j.conditionText(w.Needs)
	j.step.Witness = broken
	if j.verdict(forward) == Fails {
		j.step.Witness = j.outcome(forward).Witness
		j.step.Evidence = j.outcome(forward).Evidence
	}
	j.step.Reason = "this needs " + j.step.Condition + ", which is not given"
}

// unmoved judges a step that no move justifies.
func (j *judge) unmoved(wantForward, wantBackward bool) {
	open := false
	for _, forward := range [...]bool{true, false} {
		if forward && !wantForward || !forward && !wantBackward {
			continue
		}
		switch j.verdict(forward) {
		case Fails:
			j.wrong(forward)
			return
		case Unsettled:
			open = true
		}
	}
	if open {
		j.unsettled(wantForward)
		return
	}
	j.leap()
}

func (j *judge) wrong(forward bool) {
	o := j.outcome(forward)
	j.step.Label, j.step.Witness, j.step.Evidence = StepWrong, o.Witness, o.Evidence
	j.step.Reason = "the line before holds there, the new line does not"
	if !forward {
		j.step.Reason = "the new line holds there, the line before does not"
	}
}

func (j *judge) unsettled(forward bool) {
	j.step.Label = StepUnsettled
	j.step.Reason = j.outcome(forward).Reason
	if j.step.Reason == "" {
		j.step.Reason = "no proof and no counterexample was found"
	}
}

// leap judges a true step without a move; a point shows that the expressions
// differ, where both lines compare two expressions.
func (j *judge) leap() {
	j.step.Label = StepLeap
	j.step.Reason = "true, but no move leads from the line before to this one"
	if w := j.differing(); w != nil {
		j.step.Witness = w
		j.step.Reason += "; left minus right is not the same"
	}
}

// differing is a point at which left minus right is not the same in both
// lines.
func (j *judge) differing() *Witness {
	if j.from.line.Shape != move.Single || j.to.line.Shape != move.Single {
		return nil
	}
	if j.sums != nil {
		return j.differingSums()
	}
	a, b := j.from.line.Atom, j.to.line.Atom
	diff := j.local.Minus(a.Diff, b.Diff)
	unequal := formula.Condition(poly.Condition{P: diff.Num, Rel: poly.Ne})
	if j.local.Ring.Meter().Exhausted() {
		return nil
	}
	found := decide.Impossible(j.local.Scope, formula.And(j.given, defined(a.Domain), defined(b.Domain), unequal))
	if found.Verdict != evidence.Fails {
		return nil
	}
	k := found.Cases[0]
	return &Witness{
		Point: j.session.pointText(k),
		Left:  j.session.valueAt(formula.Term{Fraction: a.Diff, Domain: a.Domain}, k),
		Right: j.session.valueAt(formula.Term{Fraction: b.Diff, Domain: b.Domain}, k),
	}
}
