package grader

import (
	"fmt"
	"strings"

	"squaremark/algebra"
	"squaremark/grader/rubric"
	"squaremark/grader/slip"
)

// Every English sentence that a pupil or a teacher reads about an answer.
// Each is one sentence, names the line, and shows a number to try where there
// is a witness; none shows the model answer.

func sayUnanswered() string { return "There is no answer to this question." }

func sayTooLong(bytes int) string {
	return fmt.Sprintf("The answer is longer than the %d bytes that are read.", bytes)
}

func sayTooManyLines(most int) string {
	return fmt.Sprintf("The answer has more than the %d lines that are read.", most)
}

func sayUnreadable(line int, place *Place, message string) string {
	where := "The answer"
	if line > 0 {
		where = fmt.Sprintf("Line %d", line)
	}
	if place != nil && (place.Line > 1 && line == 0) {
		return fmt.Sprintf("%s cannot be read at line %d, column %d: %s.", where, place.Line, place.Column, ended(message))
	}
	if place != nil && place.Line > 0 {
		return fmt.Sprintf("%s cannot be read at column %d: %s.", where, place.Column, ended(message))
	}
	return fmt.Sprintf("%s cannot be read: %s.", where, ended(message))
}

func sayUnsettled(line int, reason string) string {
	where := "This answer"
	if line > 0 {
		where = fmt.Sprintf("Line %d", line)
	}
	if reason == "" {
		return where + " is looked at by a person, because the machine came to no answer."
	}
	return fmt.Sprintf("%s is looked at by a person, because the machine came to no answer: %s.", where, ended(reason))
}

func ended(s string) string { return strings.TrimRight(strings.TrimSpace(s), ".") }

func sayMet(c *rubric.Criterion) string {
	return meaning(c.For[0].Value)
}

func sayNeeds(id string, open bool) string {
	if open {
		return fmt.Sprintf("This mark goes with the mark %q, on which a person decides.", id)
	}
	return fmt.Sprintf("This mark goes with the mark %q, which is not earned.", id)
}

// Integers.

func sayRestates() string {
	return "The answer is a condition to be solved instead of a list of what satisfies it."
}

func sayMissing(count int, without string) string {
	switch {
	case without != "" || count < 0:
		return "Some of the solutions are missing from the answer."
	case count == 1:
		return "One of the solutions is missing from the answer."
	}
	return fmt.Sprintf("%d of the solutions are missing from the answer.", count)
}

func sayExtra(unknowns []string, extra algebra.Tuple, more int) string {
	try := make([]string, len(extra))
	for i, v := range extra {
		name := "the number"
		if i < len(unknowns) {
			name = unknowns[i]
		}
		try[i] = name + " = " + v
	}
	sentence := "The answer holds something that is no solution: try " + strings.Join(try, ", ") + " in the condition"
	if more > 0 {
		sentence += fmt.Sprintf(" (and %d more)", more)
	}
	return sentence + "."
}

func sayExtraMany() string {
	return "The answer holds numbers that are no solutions."
}

func sayNoneGiven() string { return "None of the solutions is in the answer." }

func sayThereAreSome() string {
	return "The answer says that there is no solution, but there is one."
}

func sayNotNone() string { return "The answer does not say that there is no solution." }

func sayWrongSet() string { return "The answer is not the set of all solutions." }

// Square forms.

func sayDiffers(w *algebra.Witness) string {
	if w == nil || w.Left == "" {
		return "The answer does not equal the expression."
	}
	return fmt.Sprintf("At %s the expression is %s, but the answer is %s.", point(w), w.Left, w.Right)
}

func sayNoSquareForm(shape string) string {
	if shape == "" {
		return "The answer is not made of multiples of squares plus a number."
	}
	return fmt.Sprintf("The answer is not made of multiples of squares plus a number: %s.", ended(shape))
}

func sayOtherSquare(w *algebra.Witness) string {
	if w == nil || w.Left == "" {
		return "The squares of the answer do not fit the expression."
	}
	return fmt.Sprintf("The squares of the answer do not fit the expression: at %s the expression is %s and the answer %s.", point(w), w.Left, w.Right)
}

func sayOtherConstant(remaining string) string {
	if remaining == "" {
		return "No number beside the squares can be told apart in the answer."
	}
	return fmt.Sprintf("The number %s beside the squares is not the right one.", remaining)
}

// Steps.

func sayNoSteps() string { return "The answer holds no step." }

func sayStep(step algebra.Step) string {
	line, before := lineName(step.Line), cameFrom(step)
	switch step.Label {
	case algebra.StepWrong:
		if step.Forward == algebra.Fails && step.Link != "<=" {
			return fmt.Sprintf("%s does not follow from %s%s.", upper(line), before, where(step.Witness, before, line))
		}
		return fmt.Sprintf("%s does not lead back to %s%s.", upper(line), before, where(step.Witness, line, before))
	case algebra.StepOneWay:
		if step.Forward == algebra.Holds {
			return fmt.Sprintf("%s follows from %s, but not the other way round%s.", upper(line), before, where(step.Witness, line, before))
		}
		return fmt.Sprintf("%s leads back to %s, but does not follow from it%s.", upper(line), before, where(step.Witness, before, line))
	case algebra.StepNeedsCondition:
		return fmt.Sprintf("The step to %s needs %s, which is not given%s.", line, orSomething(step.Condition), try(step.Witness))
	case algebra.StepLeap:
		if w := step.Witness; w != nil && w.Left != "" {
			return fmt.Sprintf("%s is true, but no step leads there: at %s left minus right is %s in %s and %s in %s.", upper(line), point(w), w.Left, before, w.Right, line)
		}
		return fmt.Sprintf("%s is true, but no step leads there from %s.", upper(line), before)
	case algebra.StepUnsettled:
		return sayUnsettled(step.Line+1, step.Reason)
	}
	return upper(line) + " is not right."
}

// lineName names a line of the chain, counted from 0.
func lineName(i int) string {
	if i < 0 {
		return "the claim"
	}
	return fmt.Sprintf("line %d", i+1)
}

func cameFrom(step algebra.Step) string {
	if len(step.From) == 0 {
		return "the line before"
	}
	return lineName(step.From[0])
}

func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func orSomething(condition string) string {
	if condition == "" {
		return "a condition"
	}
	return condition
}

// where is a point at which one line holds and the other does not, with the
// values of both sides of the other.
func where(w *algebra.Witness, holds, fails string) string {
	switch {
	case w == nil || len(w.Point) == 0:
		return ""
	case w.Left == "" || w.Right == "":
		return fmt.Sprintf(": at %s %s holds, but %s does not", point(w), holds, fails)
	}
	return fmt.Sprintf(": at %s %s holds, but in %s the left side is %s and the right side is %s", point(w), holds, fails, w.Left, w.Right)
}

// try is a number to try.
func try(w *algebra.Witness) string {
	if w == nil || len(w.Point) == 0 {
		return ""
	}
	return ": try " + point(w)
}

func point(w *algebra.Witness) string {
	parts := make([]string, len(w.Point))
	for i, v := range w.Point {
		parts[i] = v.Name + " = " + v.Value
	}
	return strings.Join(parts, ", ")
}

func saySilent(line int) string {
	return fmt.Sprintf("There is no link sign in front of line %d.", line)
}

func sayNotAtClaim() string { return "The chain does not begin at the claim." }

func sayNoMove(moves []string) string {
	return fmt.Sprintf("No right step of the chain does this: %s.", strings.Join(moves, " or "))
}

func sayNoSquares() string {
	return "The chain does not arrive at squares that can be compared with a number."
}

func sayNoConclusion(reason string) string {
	if reason == "" {
		return "The chain does not end in something that is evidently true."
	}
	return fmt.Sprintf("The chain does not end in something that is evidently true: %s.", ended(reason))
}

func sayWrongDirection(reason string) string {
	if reason == "" {
		return "The links cannot be read from what is evident to the claim."
	}
	return fmt.Sprintf("The links cannot be read from what is evident to the claim: %s.", ended(reason))
}

func sayWaits(line int) string {
	return fmt.Sprintf("A person looks at this mark, because line %d could not be judged.", line)
}

func sayAfterSlip(line int) string {
	return fmt.Sprintf("What is reached does not rest on right lines, because of line %d.", line)
}

// Slips.

// withSlip adds to a sentence that a named slip gives exactly what was
// written.
func withSlip(sentence string, s *slip.Slip) string {
	if s == nil {
		return sentence
	}
	return ended(sentence) + "; this is what comes out when " + ended(s.Text) + "."
}
