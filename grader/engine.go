package grader

import (
	"squaremark/algebra"
	"squaremark/algebra/budget"
	"squaremark/grader/rubric"
)

// Engine decides the mathematics of one question. *algebra.Question is the
// one used; the interface says what is asked of it.
type Engine interface {
	Truth(statement string) algebra.Outcome
	Identity(left, right string) algebra.Outcome
	Relation(left, right string) algebra.RelationOutcome
	SquareForm(expression, answer string) algebra.SquareFormOutcome
	Integers(solve []string, unknowns []string, answer *string) algebra.IntegersOutcome
	Steps(claim string, lines []algebra.Line, start algebra.Start) algebra.StepsOutcome
}

var _ Engine = (*algebra.Question)(nil)

// Bounds on one submission. What lies beyond them is told, not read.
const (
	MaxAnswerBytes = 8 << 10 // bytes of one answer, all lines together
	MaxLines       = 60      // lines of one chain
)

// slipShare is the part of the work of one question that may be spent on
// finding the slip behind one wrong answer.
const slipShare = 4

// limits are those of one question put to the engine.
func limits() budget.Limits { return budget.Default() }

// probing are the limits of one question asked for a slip.
func probing() budget.Limits {
	l := limits()
	l.Work /= slipShare
	return l
}

// declared are the variables of a question as the engine takes them.
func declared(q *rubric.Question) []algebra.Declared {
	list := make([]algebra.Declared, len(q.Variables))
	for i, v := range q.Variables {
		list[i] = algebra.Declared{Name: v.Name.Value, Range: v.Range}
	}
	return list
}

func values(list []rubric.Text) []string {
	out := make([]string, len(list))
	for i, t := range list {
		out[i] = t.Value
	}
	return out
}
