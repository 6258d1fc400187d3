package platform

import (
	"bytes"
	"encoding/json"
	"maps"
	"slices"
)

// MarshalJSON writes the message with its members in a fixed order, so that the same score is always the same bytes.
// Numbers are exact decimals, a score of zero is written, and times have three digits after the second.
//
// Errors: those of Validate.
func (s Score) MarshalJSON() ([]byte, error) {
	if err := s.Validate(); err != nil {
		return nil, err
	}
	given, maximum, err := exactPair(s.ScoreGiven, s.ScoreMaximum)
	if err != nil {
		return nil, err
	}
	w := memberWriter{}
	w.text("userId", s.UserID)
	w.raw("scoreGiven", given)
	w.raw("scoreMaximum", maximum)
	w.text("activityProgress", string(s.ActivityProgress))
	w.text("gradingProgress", string(s.GradingProgress))
	w.text("timestamp", formatInstant(s.Timestamp))
	w.text("comment", s.Comment)
	w.text("scoringUserId", s.ScoringUserID)
	w.raw("submission", s.Submission.encode())
	for _, name := range slices.Sorted(maps.Keys(s.Extensions)) {
		w.raw(name, string(s.Extensions[name]))
	}
	return w.object()
}

func (s Submission) encode() string {
	if s.StartedAt.IsZero() && s.SubmittedAt.IsZero() {
		return ""
	}
	w := memberWriter{}
	if !s.StartedAt.IsZero() {
		w.text("startedAt", formatInstant(s.StartedAt))
	}
	if !s.SubmittedAt.IsZero() {
		w.text("submittedAt", formatInstant(s.SubmittedAt))
	}
	text, err := w.object()
	if err != nil {
		return ""
	}
	return string(text)
}

// memberWriter collects the members of one JSON object; empty values are left out. Text keeps <, > and & as they are.
type memberWriter struct {
	buffer bytes.Buffer
	err    error
}

func (w *memberWriter) text(name, value string) {
	if value != "" {
		w.raw(name, w.quote(value))
	}
}

func (w *memberWriter) raw(name, value string) {
	if value == "" {
		return
	}
	if w.buffer.Len() > 0 {
		w.buffer.WriteByte(',')
	}
	w.buffer.WriteString(w.quote(name))
	w.buffer.WriteByte(':')
	w.buffer.WriteString(value)
}

func (w *memberWriter) quote(value string) string {
	var quoted bytes.Buffer
	encoder := json.NewEncoder(&quoted)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(value); err != nil {
		w.err = err
		return `""`
	}
	return string(bytes.TrimRight(quoted.Bytes(), "\n"))
}

func (w *memberWriter) object() ([]byte, error) {
	return []byte("{" + w.buffer.String() + "}"), w.err
}
