// Package decide chooses, for each question, the cheapest procedure that can
// settle it, and lets no answer out that the kernel has not re-checked.
//
// The one question is: can these sign conditions hold together? Everything
// else is asked through it: a statement holds when its assumptions and its
// negation cannot hold together, one line implies another when the first and
// the negation of the second cannot.
//
//	decide.go     statements: cases, and the verdict over all of them
//	conjunction.go  one case: parts that share no variable, then procedures
//	equations.go  equations that give one variable in terms of the others
//	moduli.go     moduli, by cases
//	immediate.go  multiples of an equation; p >= 0 with p <= 0
//	whole.go      integer variables without a value between two roots
//	remap.go      refutations of a part as refutations of the whole
//
// One folder below for each procedure. A procedure may give up; it is never
// trusted.
package decide

import (
	"errors"

	"squaremark/algebra/evidence"
	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
)

// Answer settles a statement. For Holds there is a refutation for each case
// of the negation; for Fails there is a point of one case.
type Answer struct {
	Verdict evidence.Verdict
	Cases   []Case
	Reason  string // why Unsettled, one sentence
}

// Case is one conjunction with what settles it: exactly one of Refutation,
// Point and Root is set.
type Case struct {
	Conj       *evidence.Conjunction
	Refutation evidence.Refutation
	Point      evidence.Point
	Root       *evidence.RootPoint
}

// Settled reports that the case is decided either way.
func (c *Case) Settled() bool { return c.Refutation != nil || c.Point != nil || c.Root != nil }

// Possible reports that the case can hold.
func (c *Case) Possible() bool { return c.Point != nil || c.Root != nil }

// Impossible asks whether f holds at no point of the scope: Holds when it
// does not, Fails with a point where it does. Integer ranges of variables are
// respected by points; a refutation shows impossibility over the reals, which
// is stronger.
// Cost: bounded by the scope's meter.
func Impossible(s *formula.Scope, f *formula.Formula) Answer {
	meter := s.Ring.Meter()
	if err := meter.Err(); err != nil {
		return Answer{Reason: err.Error()} // f was made with what means nothing
	}
	cases, ok := f.Cases()
	if !ok {
		return Answer{Reason: "the statement has too many cases"}
	}
	ranges, whole := s.Ranges(), s.Whole()
	answer := Answer{Verdict: evidence.Holds}
	for _, conds := range cases {
		all := append(append([]poly.Condition(nil), conds...), ranges...)
		c := evidence.Tighten(&evidence.Conjunction{Ring: s.Ring, Conds: s.Define(all), Whole: whole})
		settled := settle(c)
		if settled.Possible() {
			return Answer{Verdict: evidence.Fails, Cases: []Case{settled}}
		}
		if !settled.Settled() && answer.Verdict == evidence.Holds {
			answer = Answer{Reason: "no proof and no counterexample was found"}
			if err := meter.Err(); err != nil {
				answer.Reason = err.Error()
			}
		}
		answer.Cases = append(answer.Cases, settled)
		if meter.Exhausted() {
			return Answer{Reason: meter.Err().Error()}
		}
	}
	if answer.Verdict != evidence.Holds {
		answer.Cases = nil
	}
	return answer
}

// Always asks whether f holds at every point where given holds.
func Always(s *formula.Scope, given, f *formula.Formula) Answer {
	return Impossible(s, formula.And(given, formula.Not(f)))
}

// settle decides one conjunction and has the kernel check the result: what
// the kernel refuses is not settled.
func settle(c *evidence.Conjunction) Case {
	r := search(c)
	out := Case{Conj: c}
	switch {
	case r.refutation != nil:
		if evidence.CheckRefutation(c, r.refutation) == nil {
			out.Refutation = r.refutation
		}
	case r.point != nil:
		if evidence.CheckPoint(c, r.point) == nil {
			out.Point = r.point
		}
	case r.root != nil:
		if evidence.CheckRootPoint(c, *r.root) == nil {
			out.Root = r.root
		}
	}
	return out
}

// ErrUnchecked is returned by Recheck for a case without evidence.
var ErrUnchecked = errors.New("the case has no evidence")

// Recheck runs the kernel again on a settled case.
func (c *Case) Recheck() error {
	switch {
	case c.Refutation != nil:
		return evidence.CheckRefutation(c.Conj, c.Refutation)
	case c.Point != nil:
		return evidence.CheckPoint(c.Conj, c.Point)
	case c.Root != nil:
		return evidence.CheckRootPoint(c.Conj, *c.Root)
	}
	return ErrUnchecked
}
