package api

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"time"

	"squaremark/api/contract"
	"squaremark/api/platform"
	"squaremark/grader"
)

// gradedEvent is the result as a webhook message: the marks, without findings and feedback. Its identity is made of
// everything that the result depends on, so that the same work always has the same message id.
func gradedEvent(issuer, hook string, submission contract.Submission, result *grader.Result, at time.Time) platform.Event {
	data := contract.GradedData{
		Quiz: result.Quiz, RubricDigest: result.RubricDigest, EngineVersion: result.EngineVersion,
		Pupil: submission.Pupil, SubmittedAt: submission.SubmittedAt.UTC(),
		Marks: exact(result.Marks), Total: exact(result.Total),
		Provisional: result.Provisional, NeedsPerson: result.NeedsPerson,
		Questions: make([]contract.GradedQuestion, len(result.Questions)),
	}
	for i, q := range result.Questions {
		data.Questions[i] = contract.GradedQuestion{ID: q.ID, Marks: exact(q.Marks), Total: exact(q.Total), NeedsPerson: q.NeedsPerson}
	}
	return platform.Event{
		Type: string(contract.SubmissionGraded), Timestamp: at, Data: data,
		Identity: []string{
			issuer, hook, submission.Pupil, result.RubricDigest, result.EngineVersion,
			submission.SubmittedAt.UTC().Format(time.RFC3339Nano), answersDigest(submission.Answers),
		},
	}
}

// answersDigest does not depend on the order of members or on white space in the request.
func answersDigest(answers map[string]contract.Answer) string {
	hash := sha256.New()
	// Answers came from JSON, and a hash takes every write: there is no error to see.
	_ = json.NewEncoder(hash).Encode(answers)
	return hex.EncodeToString(hash.Sum(nil))
}
