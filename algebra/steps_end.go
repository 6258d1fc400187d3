package algebra

import (
	"squaremark/algebra/move"
	"squaremark/algebra/syntax"
)

// conclude judges the argument as a whole.
func (c *chain) conclude(out *StepsOutcome) {
	out.DirectionOK, out.Reversible = true, true
	correct := true
	for i := range c.steps {
		s, step := &c.steps[i], &out.Steps[i]
		if step.Label != StepOK {
			correct = false
		}
		needed, other, claims := step.Backward, step.Forward, s.claimed != syntax.Forward
		if c.fact {
			needed, other, claims = other, needed, s.claimed != syntax.Backward
		}
		if s.to.name != "" {
			claims = true
		}
		if step.Label == StepUnsettled || needed == Unsettled && claims && step.Label != StepUnreadable {
			out.Unsettled = true
		}
		if !claims || needed != Holds {
			out.DirectionOK = false
		}
		if needed != Holds || other != Holds {
			out.Reversible = false
		}
	}
	if !out.DirectionOK {
		out.Reason = c.directionReason()
	}
	c.closing(out)
	out.Correct = correct && out.DirectionOK && out.Concludes
}

func (c *chain) directionReason() string {
	for i := range c.steps {
		s := &c.steps[i]
		switch {
		case !s.to.readable():
			return "a line in between could not be read or judged"
		case s.to.name != "":
		case !c.fact && s.claimed == syntax.Forward:
			return "the argument starts at the claim and goes on from it, so it assumes what it should prove"
		case c.fact && s.claimed == syntax.Backward:
			return "the argument starts at a fact, but a link points back to it"
		}
	}
	if c.fact {
		return "the claim is not reached by steps that hold downwards"
	}
	return "the claim does not follow from the last line"
}

// closing looks at the two ends.
func (c *chain) closing(out *StepsOutcome) {
	say := func(reason string) {
		if out.Reason == "" {
			out.Reason = reason
		}
	}
	if !c.fact {
		last := c.claim
		if n := len(c.lines); n > 0 {
			last = c.lines[n-1]
		}
		if last.readable() && last.name == "" {
			out.Closing = closedBy(c.evident(last.line))
		}
		if out.Concludes = out.Closing != ""; !out.Concludes {
			say("the last line is not evident by itself")
		}
		c.usedUp(out)
		return
	}
	first, last := c.end(0, 1), c.end(len(c.lines)-1, -1)
	switch {
	case first == nil || !c.lines[len(c.lines)-1].readable():
		say("there is no last line to be compared with the claim")
		out.DirectionOK = false
		return
	case !c.isClaim(last):
		say("the last line is not the claim")
		out.DirectionOK = false
		return
	}
	out.Closing = closedBy(c.evident(first.line))
	if out.Concludes = out.Closing != ""; !out.Concludes {
		say("the first line is not a fact that is evident by itself")
	}
	c.usedUp(out)
}

// usedUp leaves an argument to a person where the work did not suffice.
func (c *chain) usedUp(out *StepsOutcome) {
	if err := c.meter.Err(); err != nil && !out.Correct {
		out.Unsettled = true
		if !out.Concludes {
			out.Reason = err.Error()
		}
	}
}

// closedBy is the word for what closes an argument: sums of squares count as
// squares.
func closedBy(word string) string {
	if word == move.EvidentSquares {
		return move.EvidentSquare
	}
	return word
}
