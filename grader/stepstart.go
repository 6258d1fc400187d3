package grader

import (
	"slices"

	"squaremark/algebra"
	"squaremark/algebra/budget"
	"squaremark/algebra/syntax"
	"squaremark/grader/slip"
)

// soundStart looks at the first step that does more than repeat the claim.
func (a *stepsAnswer) soundStart() fact {
	for _, s := range a.steps {
		if s.repeats() {
			continue
		}
		f := s.fact(s.own)
		switch {
		case f.degree.lost() && (a.fromClaim() || a.out.Concludes) && len(s.slips) > 0 && !slices.ContainsFunc(s.slips, func(s *slip.Slip) bool { return s.General }):
			f.degree = met
		case !a.fromClaim() && !a.out.Concludes && !a.closeToClaim():
			f = a.absent(a.q.say.notTheClaim(), s.place)
		}
		return f
	}
	if len(a.steps) > 0 {
		return fact{degree: unmet, because: a.q.say.onlyClaim(), place: a.steps[0].place}
	}
	return fact{degree: unmet, because: a.q.say.noSteps()}
}

// repeats reports a step to the same line again, perhaps with its sides
// exchanged.
func (s step) repeats() bool {
	if s.Label != algebra.StepOK {
		return false
	}
	return s.Before == s.After || len(s.Moves) > 0 && !slices.ContainsFunc(s.Moves, func(m string) bool { return m != "swap-sides" })
}

// fromClaim reports a chain that starts at the claim.
func (a *stepsAnswer) fromClaim() bool { return !a.startsAtClaim().degree.lost() }

// arrives asks where the chain leads, whatever its steps are worth.
func (a *stepsAnswer) arrives() fact {
	if a.out.Concludes {
		return fact{degree: met}
	}
	if a.fromClaim() {
		if f := a.reaches(true); !f.degree.lost() {
			return f
		}
	}
	return a.conclusion(true)
}

// closeToClaim reports a line that differs from the claim by a number only:
// left minus right, or right minus left, is the same up to a number. A chain
// from a fact that never comes to the claim is about the claim if it has one.
func (a *stepsAnswer) closeToClaim() bool {
	claim, ok := difference(a.q.rubric.Claim.Value)
	if !ok {
		return true
	}
	for _, l := range a.lines[:min(len(a.lines), maxLooked)] {
		line, ok := difference(l.Text.Value)
		if ok && (a.q.constantApart(claim, line) || a.q.constantApart(claim, "-("+line+")")) {
			return true
		}
	}
	return false
}

// difference is left minus right of a relation between two expressions.
func difference(text string) (string, bool) {
	r, bad := syntax.Read(text, budget.New(budget.Default()))
	if bad != nil || r.Root.Kind != syntax.Relation || len(r.Root.Kids) != 2 {
		return "", false
	}
	return "(" + syntax.Plain(r.Root.Kids[0]) + ")-(" + syntax.Plain(r.Root.Kids[1]) + ")", true
}

// constantApart reports two expressions that differ by a number. That number
// is their difference at any one point, so one identity decides.
func (m *question) constantApart(left, right string) bool {
	out := m.probe.Identity(left, right)
	w := out.Witness
	if out.Verdict != algebra.Fails || w == nil || w.Left == "" || w.Right == "" || w.Left == "undefined" || w.Right == "undefined" {
		return out.Verdict == algebra.Holds
	}
	return m.probe.Identity(left, "("+right+")+(("+w.Left+")-("+w.Right+"))").Verdict == algebra.Holds
}
