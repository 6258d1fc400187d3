package api

import (
	"context"
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"time"

	"squaremark/api/contract"
	"squaremark/grader"
	"squaremark/grader/rubric"
)

// MarkSubmission marks one submission and has the result delivered.
//
// Cost: the marking is bounded by the engine's limits and both together by Limits.Request. What was marked is
// delivered even if the caller does not wait for the answer.
func (s *Server) MarkSubmission(ctx context.Context, request contract.MarkSubmissionRequestObject) (contract.MarkSubmissionResponseObject, error) {
	ex := exchangeOf(ctx)
	work, p := s.prepare(ex, *request.Body)
	if p != nil {
		return nil, p
	}
	select {
	case s.inFlight <- struct{}{}:
		defer func() { <-s.inFlight }()
	default:
		return nil, overloaded("in-flight")
	}
	marked, p := s.carryOut(ctx, ex, work)
	if p != nil {
		return nil, p
	}
	return markedAnswer{marked}, nil
}

// work is a submission that may be marked.
type work struct {
	submission contract.Submission
	answers    map[string]grader.Answer
	by         *loaded
	to         destination
}

// prepare decides what a schema cannot: whether the caller may, and whether the rubric fits.
func (s *Server) prepare(ex *exchange, submission contract.Submission) (*work, *Problem) {
	to, p := permit(ex, submission)
	if p != nil {
		return nil, p
	}
	chosen := s.rubrics.shelf.Load().find(submission.Rubric.Quiz, submission.Rubric.Digest)
	if chosen == nil || !ex.partner.sees(chosen) {
		return nil, unknownRubric("/rubric")
	}
	answers, faults := readAnswers(chosen.Rubric, submission)
	if len(faults) > 0 {
		return nil, invalid(faults...)
	}
	return &work{submission, answers, chosen, to}, nil
}

// carryOut marks and delivers, within Limits.Request since the exchange started.
func (s *Server) carryOut(ctx context.Context, ex *exchange, w *work) (contract.MarkedSubmission, *Problem) {
	deadline := ex.started.Add(s.limits.Request)
	result, p := s.mark(ctx, deadline, w.by, grader.Submission{
		Quiz: w.by.Quiz.Value, Digest: w.by.Digest, Pupil: w.submission.Pupil,
		SubmittedAt: w.submission.SubmittedAt, Answers: w.answers,
	})
	if p != nil {
		return contract.MarkedSubmission{}, p
	}
	delivering, cancel := context.WithDeadline(context.WithoutCancel(ctx), deadline)
	defer cancel()
	delivery, receipt := s.deliver(delivering, ex, w, result)
	marked := markedSubmission(result, delivery)
	return marked, deliveryProblem(marked, receipt)
}

// mark waits for a free place and marks. Marking itself ends by the engine's limits; a result that comes too late is
// not delivered.
func (s *Server) mark(ctx context.Context, deadline time.Time, by *loaded, submission grader.Submission) (*grader.Result, *Problem) {
	ctx, cancel := context.WithDeadline(ctx, deadline)
	defer cancel()
	select {
	case s.marking <- struct{}{}:
		defer func() { <-s.marking }()
	case <-ctx.Done():
		return nil, overloaded("marking")
	}
	began := time.Now()
	result := by.mark(submission)
	s.observer.Marked(time.Since(began), &result)
	if ctx.Err() != nil || !time.Now().Before(deadline) { // a timer may be late on a busy machine
		return nil, overloaded("deadline")
	}
	return &result, nil
}

// readAnswers takes the answers to the grader's types, and checks what a schema cannot: that the rubric knows the
// questions, that lines are given for chains only, and that the times are in order.
func readAnswers(by *rubric.Rubric, s contract.Submission) (map[string]grader.Answer, []contract.FieldError) {
	kinds := map[string]rubric.Kind{}
	for _, q := range by.Questions {
		kinds[q.ID.Value] = q.Kind
	}
	var faults []contract.FieldError
	fault := func(reason string, path ...string) {
		if len(faults) < maxFaults {
			faults = append(faults, contract.FieldError{Pointer: jsonPointer(path), Reason: reason})
		}
	}
	if !s.StartedAt.IsZero() && s.StartedAt.After(s.SubmittedAt) {
		fault("is later than submittedAt", "startedAt")
	}
	answers := map[string]grader.Answer{}
	for _, id := range slices.Sorted(maps.Keys(s.Answers)) {
		kind, known := kinds[id]
		if !known {
			fault("holds an answer to a question that the rubric does not have", "answers")
			continue
		}
		answer, lines, err := readAnswer(s.Answers[id])
		switch {
		case err != nil:
			fault("cannot be read", "answers", id)
		case lines && kind != rubric.Steps:
			fault("expected one text: only chains have lines", "answers", id)
		default:
			answers[id] = answer
		}
	}
	return answers, faults
}

// readAnswer tells a text from lines.
func readAnswer(a contract.Answer) (answer grader.Answer, lines bool, err error) {
	raw, err := json.Marshal(a)
	if err != nil {
		return grader.Answer{}, false, err
	}
	if strings.HasPrefix(string(raw), `"`) {
		text, err := a.AsAnswerText()
		return grader.Answer{Text: text}, false, err
	}
	written, err := a.AsAnswerLines()
	for _, line := range written {
		answer.Lines = append(answer.Lines, grader.Line{Text: line.Text, Link: string(line.Link)})
	}
	return answer, true, err
}
