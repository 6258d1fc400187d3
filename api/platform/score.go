package platform

import (
	"encoding/json"
	"math/big"
	"time"
)

// ScoreMediaType is the media type of a score. Source: LTI Assignment and Grade Services 2.0, section 3.4.3.
const ScoreMediaType = "application/vnd.ims.lis.v1.score+json"

// ActivityProgress is how far the pupil is. Source: LTI Assignment and Grade Services 2.0, section 3.4.7.
type ActivityProgress string

// The values of ActivityProgress, in order.
const (
	ActivityInitialized ActivityProgress = "Initialized"
	ActivityStarted     ActivityProgress = "Started"
	ActivityInProgress  ActivityProgress = "InProgress"
	ActivitySubmitted   ActivityProgress = "Submitted"
	ActivityCompleted   ActivityProgress = "Completed"
)

// GradingProgress is how far the marking is. Source: LTI Assignment and Grade Services 2.0, section 3.4.8.
type GradingProgress string

// The values of GradingProgress. Only FullyGraded is a final score; PendingManual asks for a person.
const (
	GradingNotReady      GradingProgress = "NotReady"
	GradingFailed        GradingProgress = "Failed"
	GradingPending       GradingProgress = "Pending"
	GradingPendingManual GradingProgress = "PendingManual"
	GradingFullyGraded   GradingProgress = "FullyGraded"
)

// Score is one score message: what a platform's gradebook is told about one pupil on one line item.
//
// Domain: see Validate. A score without ScoreGiven tells the platform that there is no score now and that an earlier
// one should be cleared; leaving out the comment clears an earlier comment.
// Exact: numbers travel as exact decimals. Source: LTI Assignment and Grade Services 2.0, section 3.4.
type Score struct {
	UserID           string   // the platform's own pseudonymous id of the pupil
	ScoreGiven       *big.Rat // nil: no score; may exceed ScoreMaximum
	ScoreMaximum     *big.Rat // above zero; required with ScoreGiven
	ActivityProgress ActivityProgress
	GradingProgress  GradingProgress
	Timestamp        time.Time // when the score changed, from Stamps; sent in whole milliseconds, UTC
	Comment          string    // plain text for pupil and teacher, see PlainComment
	ScoringUserID    string    // the person who marked; empty for marking by machine
	Submission       Submission
	// Extensions are further members; names are full URLs, values any JSON.
	Extensions map[string]json.RawMessage
}

// Submission holds the times of the pupil's work; a zero time is left out.
//
// Source: LTI Assignment and Grade Services 2.0, section 3.4.10.
type Submission struct {
	StartedAt   time.Time
	SubmittedAt time.Time
}
