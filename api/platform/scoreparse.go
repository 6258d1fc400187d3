package platform

import (
	"encoding/json"
	"errors"
	"fmt"
	"math/big"
	"time"
)

// maxScoreBytes bounds a score message.
const maxScoreBytes = 64 << 10

// ParseScore reads a score message strictly: exact member names and types, no name twice, numbers exact, times with
// fraction and zone, members beyond the known ones only with a full URL as name (they are kept). A null scoreGiven is
// no score. Zones of whole hours without minutes are taken, as a reader should.
//
// Domain: at most 64 KiB. Exact: yes. Errors: name the member, never its value.
// Source: LTI Assignment and Grade Services 2.0, sections 3.1.2 and 3.4.
func ParseScore(text []byte) (Score, error) {
	if len(text) > maxScoreBytes {
		return Score{}, fmt.Errorf("score: longer than %d octets", maxScoreBytes)
	}
	members, err := strictObject(text)
	if err != nil {
		return Score{}, fmt.Errorf("score: %w", err)
	}
	r := memberReader{members: members}
	var s Score
	s.UserID = r.text("userId")
	s.ScoreGiven = r.number("scoreGiven", true)
	s.ScoreMaximum = r.number("scoreMaximum", false)
	s.ActivityProgress = ActivityProgress(r.text("activityProgress"))
	s.GradingProgress = GradingProgress(r.text("gradingProgress"))
	s.Timestamp = r.instant("timestamp")
	s.Comment = r.text("comment")
	if _, stated := members["scoringUserId"]; stated {
		if s.ScoringUserID = r.text("scoringUserId"); s.ScoringUserID == "" {
			r.fail("scoringUserId", "a text that is not blank")
		}
	}
	s.Submission = r.submission()
	s.Extensions = r.rest()
	if r.err != nil {
		return Score{}, r.err
	}
	if err := s.Validate(); err != nil {
		return Score{}, err
	}
	return s, nil
}

// memberReader takes members out of an object one by one and remembers the first fault.
type memberReader struct {
	members map[string]json.RawMessage
	err     error
}

func (r *memberReader) fail(name, expected string) {
	if r.err == nil {
		r.err = fmt.Errorf("score: %s: expected %s", name, expected)
	}
}

func (r *memberReader) take(name string) (json.RawMessage, bool) {
	raw, stated := r.members[name]
	delete(r.members, name)
	return raw, stated
}

func (r *memberReader) text(name string) string {
	raw, stated := r.take(name)
	if !stated {
		return ""
	}
	text, ok := textMember(raw)
	if !ok {
		r.fail(name, "a text")
	}
	return text
}

func (r *memberReader) number(name string, nullable bool) *big.Rat {
	raw, stated := r.take(name)
	if !stated || (nullable && string(raw) == "null") {
		return nil
	}
	number, ok := parseNumber(string(raw))
	if !ok {
		r.fail(name, "a number of reasonable length")
	}
	return number
}

func (r *memberReader) instant(name string) time.Time {
	raw, stated := r.take(name)
	if !stated {
		return time.Time{}
	}
	text, _ := textMember(raw)
	at, ok := parseInstant(text)
	if !ok {
		r.fail(name, "a date and time with a fraction of a second and a zone")
	}
	return at
}

func (r *memberReader) submission() Submission {
	raw, stated := r.take("submission")
	if !stated {
		return Submission{}
	}
	members, err := strictObject(raw)
	if err != nil {
		r.fail("submission", "an object")
		return Submission{}
	}
	inner := memberReader{members: members}
	times := Submission{StartedAt: inner.instant("startedAt"), SubmittedAt: inner.instant("submittedAt")}
	if len(members) > 0 {
		inner.fail("submission", "nothing but startedAt and submittedAt")
	}
	r.err = errors.Join(r.err, inner.err)
	return times
}

// rest is what no other call has taken.
func (r *memberReader) rest() map[string]json.RawMessage {
	if len(r.members) == 0 {
		return nil
	}
	return r.members
}
