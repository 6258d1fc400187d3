package check

import (
	"fmt"
	"slices"
	"strings"

	"squaremark/algebra"
	"squaremark/algebra/budget"
	"squaremark/algebra/source"
	"squaremark/grader"
	"squaremark/grader/rubric"
)

// adviser looks for what a sound rubric can still get wrong. What the engine
// cannot settle is no warning.
type adviser struct {
	rubric *rubric.Rubric
	marker *grader.Marker
	diags  []*source.Diag
}

func advise(r *rubric.Rubric, marker *grader.Marker) []*source.Diag {
	a := &adviser{rubric: r, marker: marker}
	for _, q := range r.Questions {
		setting, ok := settingOf(q, -1)
		if !ok {
			continue
		}
		a.evident(q, setting)
		a.givens(q)
		a.generous(q, setting)
	}
	return a.diags
}

func (a *adviser) warn(code string, at source.Span, text, hint, format string, args ...any) {
	a.diags = append(a.diags, &source.Diag{
		Severity: source.Warning, Code: code, File: a.rubric.File, At: at,
		Text: source.Shorten(text, 60), Message: fmt.Sprintf(format, args...), Hint: hint,
	})
}

// settingOf is the engine's setting of a question with one of its givens left
// out, or with all of them for -1.
func settingOf(q *rubric.Question, without int) (*algebra.Question, bool) {
	vars := make([]algebra.Declared, len(q.Variables))
	for i, v := range q.Variables {
		vars[i] = algebra.Declared{Name: v.Name.Value, Range: v.Range}
	}
	givens := texts(q.Givens)
	if without >= 0 {
		givens = slices.Delete(givens, without, without+1)
	}
	setting, bad := algebra.NewQuestion(vars, givens, budget.Default())
	return setting, bad == nil
}

func texts(list []rubric.Text) []string {
	out := make([]string, len(list))
	for i, t := range list {
		out[i] = t.Value
	}
	return out
}

// evident warns of a claim that a chain of one line proves: the claim itself.
func (a *adviser) evident(q *rubric.Question, setting *algebra.Question) {
	if q.Kind != rubric.Steps {
		return
	}
	out := setting.Steps(q.Claim.Value, []algebra.Line{{Text: q.Claim.Value}}, algebra.StartClaim)
	if !out.Correct {
		return
	}
	why := ""
	if out.Closing != "" {
		why = " (" + out.Closing + ")"
	}
	a.warn("evident-claim", q.Claim.At(), q.Claim.Value, "ask for something that needs a step",
		"the claim is evidently true as it stands%s: a pupil who only writes it down has proved it", why)
}

// givens warns of assumptions without which everything else still holds.
func (a *adviser) givens(q *rubric.Question) {
	for i, given := range q.Givens {
		setting, ok := settingOf(q, i)
		if !ok || !stands(q, setting) {
			continue
		}
		hint := "leave it out"
		if q.Kind == rubric.Steps {
			hint = "leave it out, or ask for something that needs it"
		}
		a.warn("unused-given", given.At(), given.Value, hint, "%s", map[rubric.Kind]string{
			rubric.Steps:      "this given is not used: the claim is proved by the model answer without it",
			rubric.Integers:   "this given is not used: the solutions are the same without it",
			rubric.SquareForm: "this given is not used: the model answer equals the expression without it",
		}[q.Kind])
	}
}

// stands reports that a model answer is right in this setting.
func stands(q *rubric.Question, setting *algebra.Question) bool {
	switch q.Kind {
	case rubric.Integers:
		return setting.Integers(texts(q.Solve), texts(q.Unknowns), &q.Model.Text.Value).Verdict == algebra.Holds
	case rubric.SquareForm:
		return setting.SquareForm(q.Expression.Value, q.Model.Text.Value).Verdict == algebra.Holds
	case rubric.Steps:
		return setting.Truth(q.Claim.Value).Verdict == algebra.Holds && right(q, setting, submitted(q.Model)) == algebra.Holds
	}
	return false
}

// right says whether an answer is entirely right, whatever the mark scheme
// gives for it.
func right(q *rubric.Question, setting *algebra.Question, answer grader.Answer) algebra.Verdict {
	switch q.Kind {
	case rubric.Integers:
		return setting.Integers(texts(q.Solve), texts(q.Unknowns), &answer.Text).Verdict
	case rubric.SquareForm:
		out := setting.SquareForm(q.Expression.Value, answer.Text)
		if out.Verdict == algebra.Holds && !out.IsSquareForm {
			return algebra.Fails
		}
		return out.Verdict
	case rubric.Steps:
		lines := make([]algebra.Line, len(answer.Lines))
		for i, l := range answer.Lines {
			lines[i] = algebra.Line{Text: l.Text, Link: l.Link}
		}
		out := setting.Steps(q.Claim.Value, lines, algebra.StartAuto)
		switch {
		case out.Correct:
			return algebra.Holds
		case out.Unsettled:
			return algebra.Unsettled
		}
		return algebra.Fails
	}
	return algebra.Unsettled
}

// generous warns of wrong answers that get as many marks as the model answer:
// examples that the teacher gave, and else the first wrong answer made from
// the model.
func (a *adviser) generous(q *rubric.Question, setting *algebra.Question) {
	told := false
	for _, e := range q.Examples {
		if e.Marks.Cmp(q.Total) == 0 && right(q, setting, submitted(e.Answer)) == algebra.Fails {
			told = true
			a.warn("wrong-answer-full-marks", e.MarksAt, rubric.MarksText(e.Marks), "",
				"this example is wrong and scores the same as the model answer")
		}
	}
	if told {
		return
	}
	for _, wrong := range wrongAnswers(q, setting) {
		if a.earns(q, wrong) && right(q, setting, wrong) == algebra.Fails {
			a.warn("wrong-answer-full-marks", q.At, q.ID.Value, "give a mark for a finding that only a right answer has",
				"the mark scheme gives all %s marks of %q to a wrong answer too: %s", rubric.MarksText(q.Total), q.ID.Value, oneLine(wrong))
			return
		}
	}
}

// earns reports that an answer gets every mark of its question.
func (a *adviser) earns(q *rubric.Question, answer grader.Answer) bool {
	id := q.ID.Value
	out := a.marker.Grade(grader.Submission{Quiz: a.rubric.Quiz.Value, Answers: map[string]grader.Answer{id: answer}})
	for _, one := range out.Questions {
		if one.ID == id {
			return one.Marks.Cmp(q.Total) == 0
		}
	}
	return false
}

func oneLine(a grader.Answer) string {
	text := a.Text
	for i, l := range a.Lines {
		if i > 0 {
			text += " " + l.Link + " "
		}
		text += l.Text
	}
	return strings.Join(strings.Fields(text), " ")
}

// submitted is an answer of the rubric as a pupil would send it.
func submitted(a rubric.Answer) grader.Answer {
	out := grader.Answer{Text: a.Text.Value}
	for _, l := range a.Lines {
		out.Lines = append(out.Lines, grader.Line{Text: l.Text.Value, Link: l.Link})
	}
	return out
}
