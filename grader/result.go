// Package grader marks one submission against one rubric. Grade is a pure
// function: the same submission, rubric and engine version always give the
// same result, byte for byte, and nothing is kept.
//
//	submission.go    what comes in
//	result.go        what goes out
//	check.go         a rubric against its own model answers and examples
//	checkclaim.go    a claim against its model chain
//	checkvalues.go   a model value against its expression
//	compile.go       a rubric made ready for marking
//	grade.go         one submission
//	award.go         findings to marks
//	degree.go        how far a finding is met
//	integers.go      the findings about lists of whole numbers
//	squareform.go    the findings about square forms
//	values.go        the findings about extreme values and cases of equality
//	steps.go         chains: what each step is worth
//	contradiction.go chains from the opposite of the claim
//	stepstart.go     how a chain begins
//	stepfacts.go     the findings about chains
//	stepends.go      where a chain arrives
//	place.go         places in answers
//	engine.go        what is asked of the engine, and its bounds
//	sentences.go   what is said; the words are in package wording
package grader

import "math/big"

// Result is a marked submission. Marks are exact; halves and thirds stay so.
type Result struct {
	Quiz          string           `json:"quiz"`
	RubricDigest  string           `json:"rubricDigest"`  // "sha256:…" over the rubric file's bytes
	EngineVersion string           `json:"engineVersion"` // algebra.EngineVersion
	Marks         *big.Rat         `json:"-"`
	Total         *big.Rat         `json:"-"`
	Provisional   bool             `json:"provisional"`       // true until a person has marked what NeedsPerson tells; the same as NeedsPerson here
	NeedsPerson   bool             `json:"needsPerson"`       // some part is unsettled or unreadable by rule: a person must mark it
	Questions     []QuestionResult `json:"questions"`         // in the rubric's order, every question of the rubric
	Ignored       []string         `json:"ignored,omitempty"` // ids in the submission that are no question of the rubric, sorted, at most 20, shortened
}

// QuestionResult is the marking of one answer.
type QuestionResult struct {
	ID          string
	Kind        string // integers, square-form, steps, values
	Answered    bool
	Marks       *big.Rat
	Total       *big.Rat
	NeedsPerson bool
	Understood  string // the answer as it was read, plain text
	Criteria    []CriterionResult
	Findings    []Finding
	Feedback    []Feedback
}

// CriterionResult tells for one line of the mark scheme what was awarded and
// why.
type CriterionResult struct {
	ID          string
	Type        string // method, accuracy, independent
	Awarded     *big.Rat
	Of          *big.Rat
	NeedsPerson bool
	Because     string // the finding that decided, in words
}

// Place is a place inside an answer: the line of a chain (1-based, 0 for an
// answer that is not a chain) and the line and column in its text.
type Place struct {
	ChainLine int    `json:"chainLine,omitempty"`
	Line      int    `json:"line"`
	Column    int    `json:"column"`
	Text      string `json:"text,omitempty"` // the text there, shortened
}

// Finding is one fact about an answer that a rubric can give marks for, or
// that explains such a fact. Code is from the closed list of the findings
// catalogue. Detail and Evidence may tell parts of the right answer: they are
// for the teacher; Feedback is for the pupil.
type Finding struct {
	Code     string
	State    string // "met", "in part", "not met", or "person" where a person decides
	Place    *Place
	Detail   string // in words
	Slip     string // id of the slip that explains it, if one does
	Evidence *Evidence
}

// Evidence lets anyone re-check a finding: an identity, or a point with both
// sides' exact values there.
type Evidence struct {
	Kind    string // identity, witness, squares, sign-table, cases, enumeration
	Text    string
	Witness []Value
	Left    string
	Right   string
}

// Value is a name with an exact value as text.
type Value struct{ Name, Value string }

// Feedback is one sentence for the pupil about one lost mark.
type Feedback struct {
	Criterion string
	Sentence  string
	Place     *Place
}
