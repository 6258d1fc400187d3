package grader

import "time"

// Submission is one pupil's answers to one quiz, as the platform sent them.
// The pupil's id is opaque, and is not looked at.
type Submission struct {
	Quiz        string // quiz id, or "" when Digest is given
	Digest      string // rubric digest, or "" for the newest rubric of the quiz
	Pupil       string
	SubmittedAt time.Time
	Answers     map[string]Answer // by question id
}

// Answer is what a pupil typed for one question: Text for integers and
// square-form, Lines for steps. A steps answer given as Text is split into
// lines.
type Answer struct {
	Text  string
	Lines []Line
}

// Line is one written line of a chain, with its link: "<=>", "=>", "<=" or ""
// for none.
type Line struct {
	Text string
	Link string
}
