package api_test

import (
	"context"
	"math/big"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"squaremark/algebra/source"
	"squaremark/api"
	"squaremark/api/platform"
	"squaremark/grader"
	"squaremark/grader/rubric"
)

// fullMarks gives full marks to everything that is answered, and asks for a person where an answer says so. It stands
// for the marking where a test is about something else.
func fullMarks(r *rubric.Rubric) (api.Mark, []*source.Diag) {
	return func(s grader.Submission) grader.Result {
		result := grader.Result{
			Quiz: r.Quiz.Value, RubricDigest: r.Digest, EngineVersion: "0.0.0-test",
			Marks: new(big.Rat), Total: new(big.Rat),
		}
		for _, q := range r.Questions {
			one := markFully(q, s.Answers[q.ID.Value])
			result.Marks.Add(result.Marks, one.Marks)
			result.Total.Add(result.Total, one.Total)
			result.NeedsPerson = result.NeedsPerson || one.NeedsPerson
			result.Questions = append(result.Questions, one)
		}
		result.Provisional = result.NeedsPerson
		return result
	}, nil
}

func markFully(q *rubric.Question, a grader.Answer) grader.QuestionResult {
	text := a.Text
	for _, line := range a.Lines {
		text += line.Link + line.Text + "\n"
	}
	one := grader.QuestionResult{
		ID: q.ID.Value, Kind: string(q.Kind), Answered: text != "", Marks: new(big.Rat), Total: q.Total,
		Understood: text, NeedsPerson: strings.Contains(text, "unsettled"),
	}
	place := &grader.Place{ChainLine: 1, Line: 1, Column: 1, Text: text}
	switch {
	case one.NeedsPerson:
		one.Findings = []grader.Finding{{Code: "unsettled", State: "person", Detail: "no answer was found", Place: place}}
	case one.Answered:
		one.Marks = q.Total
		one.Findings = []grader.Finding{{Code: "equal", State: "in part", Detail: "both sides agree", Evidence: &grader.Evidence{
			Kind: "sign table", Text: "at x = 1", Witness: []grader.Value{{Name: "x", Value: "1"}}, Left: "3/2", Right: "3/2",
		}}}
	default:
		one.Feedback = []grader.Feedback{{Sentence: "Nothing was answered."}, {Criterion: "equal", Sentence: "There is no answer.", Place: place}}
	}
	one.Criteria = []grader.CriterionResult{{ID: "all", Type: "accuracy", Awarded: one.Marks, Of: q.Total, Because: "told by the test"}}
	return one
}

// writeRubric puts a rubric file into a folder.
func writeRubric(t *testing.T, dir, name string, change func(string) string) {
	t.Helper()
	text, err := os.ReadFile("testdata/rubrics/garden-plots.yaml")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(change(string(text))), 0o600))
}

// talkative has more to say about an answer than a comment can hold.
func talkative(r *rubric.Rubric) (api.Mark, []*source.Diag) {
	mark, diags := fullMarks(r)
	return func(s grader.Submission) grader.Result {
		result := mark(s)
		for range 80 {
			result.Questions[0].Feedback = append(result.Questions[0].Feedback, grader.Feedback{Criterion: "all", Sentence: "Look again at the constant."})
		}
		return result
	}, diags
}

// slowSender posts a score only when it is let go.
type slowSender struct {
	api.Sender
	held chan<- struct{}
	hold <-chan struct{}
}

func (s *slowSender) PostScore(ctx context.Context, r *platform.Registration, lineItem string, score platform.Score) (platform.Outcome, error) {
	s.held <- struct{}{}
	<-s.hold
	return s.Sender.PostScore(ctx, r, lineItem, score)
}
