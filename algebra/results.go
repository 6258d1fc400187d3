package algebra

import (
	"squaremark/algebra/evidence"
	"squaremark/algebra/source"
)

// EngineVersion names the behaviour of the engine: it changes whenever some
// input could get another verdict, evidence or reading.
const EngineVersion = "0.1.0"

// Verdict, and its three values, are those of the evidence package.
type Verdict = evidence.Verdict

// The verdicts. Unsettled is the zero value.
const (
	Unsettled = evidence.Unsettled
	Holds     = evidence.Holds
	Fails     = evidence.Fails
)

// Value is a variable with its exact value as text: 3/2, 2*sqrt(3).
type Value struct {
	Name  string `json:"name"`
	Value string `json:"value"`
}

// Witness is a point that shows why something fails. Where the question
// compares two sides, Left and Right are their exact values there, or
// "undefined".
type Witness struct {
	Point []Value `json:"point"`
	Left  string  `json:"left,omitempty"`
	Right string  `json:"right,omitempty"`
}

// Evidence is a re-checked proof as text and as data.
type Evidence struct {
	Kind  string   `json:"kind"`            // "identity", "point", "squares", "sign table", "cases", "enumeration"
	Text  string   `json:"text"`            // one line for people
	Steps []string `json:"steps,omitempty"` // one line for each case
	Data  any      `json:"data,omitempty"`  // what a re-check reads
}

// Outcome is what every question ends in. A non-nil Unreadable means that the
// text could not be read, and Verdict is then Unsettled; Reason says in one
// sentence why a verdict is Unsettled.
type Outcome struct {
	Verdict    Verdict
	Witness    *Witness
	Evidence   *Evidence
	Reason     string
	Unreadable *Unreadable
	Notes      []*source.Diag // how ambiguous places were read, points left out

	general bool // unsettled so far because sums, indices or assumptions are for every number of terms
}

// Unreadable tells which text could not be read, and where in it.
type Unreadable struct {
	Field string // "statement", "left", "lines[2]", ...
	Diag  *source.Diag
}

// Error prints field, place and message.
func (u *Unreadable) Error() string { return u.Field + ":" + u.Diag.Error() }

// Relation tells which of two statements implies the other.
type Relation string

// The relations of two statements. RelationUnsettled is used where a
// direction is not decided.
const (
	Equivalent        Relation = "equivalent"
	ForwardOnly       Relation = "forward"  // left implies right only
	BackwardOnly      Relation = "backward" // right implies left only
	Neither           Relation = "neither"
	RelationUnsettled Relation = "unsettled"
)

// RelationOutcome answers Relation: the witness of a direction shows a point
// where it fails.
type RelationOutcome struct {
	Relation          Relation
	Forward, Backward Outcome
}

// SquareFormOutcome answers SquareForm. Equal says whether the answer equals
// the expression; IsSquareForm whether it is a sum of multiples of squares,
// all of one sign, plus a constant; Remaining is that constant.
type SquareFormOutcome struct {
	Outcome
	IsSquareForm bool
	Remaining    string
	Shape        string // what the answer is instead: "not a sum of squares: x*(x-2)"
}

// Tuple is one integer solution, in the order of the unknowns, as decimal text.
type Tuple []string

// IntegersOutcome answers Integers. Infinite is "" for a finite solution set;
// Verdict is Holds when an answer was given and is exactly right.
type IntegersOutcome struct {
	Outcome
	Solutions []Tuple // sorted; empty and Infinite "" means that there are none
	Infinite  string
	// About the answer, where one was given:
	Parsed      []Tuple
	ParsedText  string // the answer as it was understood
	AnswerIsSet bool   // false: the answer restates the question
	Missing     []Tuple
	Extra       []Tuple
	MissingText string // where missing or extra members are infinitely many
	ExtraText   string
}

// Label judges one step of a chain.
type Label string

// The labels of a step, as the trade would say them.
const (
	StepOK             Label = "ok"              // a catalogue move leads here and the claimed link holds
	StepOneWay         Label = "one-way"         // claimed two-way, holds in one direction
	StepWrong          Label = "wrong"           // the claimed link is false; a witness is given
	StepNeedsCondition Label = "needs-condition" // the move is valid under a condition that is not given
	StepLeap           Label = "leap"            // true, but no move leads here
	StepUnreadable     Label = "unreadable"
	StepUnsettled      Label = "unsettled"
)

// Line is one written line of a chain and the link in front of it: "<=>",
// "=>", "<=" or "" for none.
type Line struct {
	Text string
	Link string
}

// Start says at which end of a chain the claim stands.
type Start string

// A chain may start at the claim or at a known fact. StartAuto looks at the
// first line.
const (
	StartAuto  Start = ""
	StartClaim Start = "claim"
	StartFact  Start = "fact"
)

// Step judges the link into line Line (0-based; the first line has no step
// when it is the claim itself).
type Step struct {
	Line      int
	From      []int // the lines it follows from; -1 is the claim or a given
	Label     Label
	Link      string // the link as read: "<=>", "=>" or "<="
	Silent    bool   // no link was written
	Moves     []string
	Condition string // what the move needs and does not have
	Forward   Verdict
	Backward  Verdict
	Witness   *Witness
	Evidence  *Evidence
	Reason    string
	// Before and After are the two lines as understood, for slips and feedback.
	Before, After string
	Unreadable    *Unreadable
	Notes         []*source.Diag
}

// StepsOutcome answers Steps.
type StepsOutcome struct {
	Steps       []Step
	DirectionOK bool
	Reversible  bool
	Concludes   bool
	Correct     bool
	Unsettled   bool        // some step or the conclusion needs a person
	Reason      string      // why Concludes or DirectionOK is false or unsettled
	Closing     string      // the fact that closes the chain: "square", "number fact", ...
	Unreadable  *Unreadable // the claim or an assumption could not be read; there are no steps then
}
