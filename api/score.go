package api

import (
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"squaremark/api/contract"
	"squaremark/api/platform"
	"squaremark/grader"
)

// maxScoreComment is the longest comment that goes with a score, in characters.
const maxScoreComment = 1000

// score is the result as a score message. The pupil's work is over (Completed); the marking is over too (FullyGraded)
// unless a person must look at a part: then it is PendingManual and the marks are those that are sure.
//
// Exact: marks go out as they are. Source: LTI Assignment and Grade Services 2.0, sections 3.4.7, 3.4.8 and 4.5.
func score(submission contract.Submission, result *grader.Result, at time.Time) platform.Score {
	progress := platform.GradingFullyGraded
	if result.NeedsPerson {
		progress = platform.GradingPendingManual
	}
	return platform.Score{
		UserID:           submission.Pupil,
		ScoreGiven:       result.Marks,
		ScoreMaximum:     result.Total,
		ActivityProgress: platform.ActivityCompleted,
		GradingProgress:  progress,
		Timestamp:        at,
		Comment:          comment(result),
		Submission:       platform.Submission{StartedAt: submission.StartedAt, SubmittedAt: submission.SubmittedAt},
	}
}

// comment is a short summary for pupil and teacher: what kind of marks these are, what a person must still do, and
// the feedback, as many whole sentences as fit.
func comment(result *grader.Result) string {
	sentences := []string{"Marked by machine: provisional until a teacher accepts."}
	var open []string
	for _, q := range result.Questions {
		if q.NeedsPerson {
			open = append(open, q.ID)
		}
	}
	if len(open) > 0 {
		sentences = append(sentences, fmt.Sprintf("A person must still look at: %s.", strings.Join(open, ", ")))
	}
	for _, q := range result.Questions {
		for _, f := range q.Feedback {
			sentences = append(sentences, q.ID+": "+f.Sentence)
		}
	}
	return platform.PlainComment(fitted(sentences, maxScoreComment))
}

// fitted joins as many sentences as fit and says how many are left out.
func fitted(sentences []string, limit int) string {
	const room = 40 // for the note about what is left out
	text, length := "", 0
	for i, sentence := range sentences {
		length += utf8.RuneCountInString(sentence) + 1
		if length > limit-room {
			return strings.TrimSpace(fmt.Sprintf("%s (%d more in the full result.)", text, len(sentences)-i))
		}
		text += sentence + " "
	}
	return strings.TrimSpace(text)
}
