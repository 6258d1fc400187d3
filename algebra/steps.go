package algebra

import (
	"squaremark/algebra/budget"
	"squaremark/algebra/formula"
	"squaremark/algebra/move"
	"squaremark/algebra/syntax"
)

// Steps judges a written argument line by line.
//
// A step is ok when a move of the catalogue leads to it and the link that is
// claimed holds; truth alone earns nothing. Every step is judged from the
// pupil's own line before it; after a line that cannot be read, from the last
// one that can. A line may also follow from an earlier line, from two lines, or
// from the givens. A formula counts as false where a part of it is undefined.
//
// With no link written, a line after the claim is read as equivalent to the
// one before, a line after a fact as following from it. Where start is not
// said, the argument starts at the claim when its first line is the claim, or
// its last line is not.
//
// Where the claim cannot be read there are no steps.
//
// Cost: one meter for the whole argument, with a share for each step.
func (q *Question) Steps(claim string, lines []Line, start Start) StepsOutcome {
	c, bad := q.chain(claim, lines)
	if bad != nil {
		return *bad
	}
	c.begin(start)
	c.justify()
	c.spread()
	out := StepsOutcome{}
	for i := range c.steps {
		out.Steps = append(out.Steps, c.label(&c.steps[i]))
	}
	c.conclude(&out)
	return out
}

// maxLines bounds the lines of one argument.
const maxLines = 100

// A chain of many lines gets more work than one question, up to this factor;
// one step gets this part of what one question would have.
const (
	maxWorkFactor = 3
	stepShare     = 3
)

// written is one line of an argument as read: a formula taken apart, or why
// there is none.
type written struct {
	index      int // -1 for the claim
	text       string
	link       syntax.Link
	root       *syntax.Node
	line       *move.Line
	unreadable *Unreadable
	outside    string // why it is beyond what is decided
	reading    reading
	spelled    string // as text that can be read again
	name       string // the name that it introduces
	opening    bool   // an expression that the next line goes on with: no formula of its own
	always     bool   // known to hold wherever the givens do
}

func (w *written) readable() bool { return w.line != nil }

// chain is an argument on its way to being judged.
type chain struct {
	*session
	setting *move.Setting
	sums    *formula.Sums  // where sums are for every number of terms
	every   []*syntax.Node // what is given for every index
	claim   *written
	lines   []*written
	fact    bool // it starts at a fact
	steps   []link
	same    bool // the first line is the claim itself
}

// link is one step: from what to what, and which moves lead there.
type link struct {
	from, to *written
	claimed  syntax.Link
	silent   bool
	pair     *move.Pair
	earlier  []move.Earlier
	local    *move.Setting
	work     *budget.Meter
	found    move.Justification
	forward  Outcome // filled as far as it is asked for
	backward Outcome
	askedF   bool
	askedB   bool
}
