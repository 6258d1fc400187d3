package draft

import (
	"fmt"
	"slices"

	"squaremark/algebra"
	"squaremark/algebra/source"
	"squaremark/grader"
	"squaremark/grader/rubric"
	"squaremark/grader/slip"
)

// mostExamples bounds the examples of one question.
const mostExamples = 10

// exemplify has the grader mark the attempts and keeps those that show what
// they are meant to show, each slip once.
func (q *question) exemplify() error {
	q.examples = nil
	text := rubricText("draft", "", []*question{q})
	r, diags := rubric.Load("draft.yaml", []byte(text))
	var marker *grader.Marker
	if r != nil {
		var more []*source.Diag
		marker, more = grader.Compile(r)
		diags = append(diags, more...)
	}
	if marker == nil {
		return fmt.Errorf("the draft does not pass the check:\n%s", source.Print(diags, func(string) string { return text }))
	}
	titles := map[string]string{}
	for _, s := range slip.Catalogue() {
		titles[s.ID] = s.Title
	}
	seen := map[string]bool{squeezed(plainLines(q.model)): true}
	for _, a := range q.mistakes {
		key := squeezed(plainLines(a.lines))
		if seen[key] || len(q.examples) == mostExamples {
			continue
		}
		out := marker.Grade(grader.Submission{Quiz: "draft", Answers: map[string]grader.Answer{q.id: submitted(q.kind, a.lines)}})
		result := out.Questions[0]
		full := result.Marks.Cmp(result.Total) == 0
		if result.NeedsPerson || a.right != full || a.slip != "" && (seen["slip "+a.slip] || !hasSlip(result, a.slip)) {
			continue
		}
		seen[key] = true
		if a.slip != "" {
			seen["slip "+a.slip] = true
			a.note = "Slip: " + titles[a.slip] + "."
		}
		a.marks = result.Marks
		q.examples = append(q.examples, a)
	}
	return nil
}

// hasSlip reports that this slip was named.
func hasSlip(result grader.QuestionResult, id string) bool {
	return slices.ContainsFunc(result.Findings, func(f grader.Finding) bool { return f.Code == "slip" && f.Slip == id })
}

func submitted(kind string, lines []algebra.Line) grader.Answer {
	if kind != "steps" {
		return grader.Answer{Text: lines[0].Text}
	}
	var out grader.Answer
	for _, l := range lines {
		out.Lines = append(out.Lines, grader.Line{Text: l.Text, Link: l.Link})
	}
	return out
}
