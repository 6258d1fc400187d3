package rubric

import (
	"math/big"

	"squaremark/algebra/source"
)

// Rubric is one file, read and well formed. It is not changed after loading.
type Rubric struct {
	File      string
	Digest    string // "sha256:" and the hexadecimal digest of the file's bytes
	Quiz      Text
	Title     Text
	Language  Text // BCP 47 tag, "en" when left out
	Total     *big.Rat
	Questions []*Question
}

// Kind says how a question is answered.
type Kind string

// The kinds of question.
const (
	Integers   Kind = "integers"    // a list of whole numbers or tuples, or a set of them described by conditions
	SquareForm Kind = "square-form" // an expression as multiples of squares plus a constant
	Values     Kind = "values"      // an extreme value and where it is taken, or where equality holds
	Steps      Kind = "steps"       // a chain of lines from a claim to something evident, or back
)

// Kinds lists the kinds in the order of the documentation.
var Kinds = []Kind{Integers, SquareForm, Steps, Values}

// Question is one question of a quiz.
type Question struct {
	ID         Text
	At         source.Span // its first key
	Kind       Kind
	Prompt     Text
	Variables  []Variable
	Givens     []Text
	Solve      []Text // integers: conditions that hold together
	Unknowns   []Text // integers: the order of the numbers in a tuple
	Expression Text   // square-form
	Claim      Text   // steps
	Least      Text   // values: the expression whose least value is asked for
	Greatest   Text   // values: or whose greatest value
	Equality   Text   // values: or an inequality, of which the case of equality is asked for
	Start      string // steps: "claim", "fact" or ""
	Model      Answer
	Marks      []*Criterion
	BestOf     [][]Text // groups of criteria of which the best one counts
	Caps       []*Cap
	OwnMarks   bool // false: the default mark scheme of the kind
	Total      *big.Rat
	TotalAt    source.Span
	Rules      Rules
	Hints      Hints
	Examples   []*Example
}

// Variable is a variable of a question and the numbers it stands for: "real",
// "integer" or "positive integer".
type Variable struct {
	Name  Text
	Range string
}

// Answer is a model answer or the answer of an example. Lines is filled for
// steps, Text for the other kinds.
type Answer struct {
	At    source.Span
	Text  Text
	Lines []Line
}

// Type is the trade's type of a mark.
type Type string

// The types of marks. An accuracy mark usually needs its method mark.
const (
	Method      Type = "method"
	Accuracy    Type = "accuracy"
	Independent Type = "independent"
)

// Criterion is one line of a mark scheme. It earns its worth times the degree
// to which its findings are met: the lowest of them for All, the highest for
// Any; nothing when a criterion in Needs earned nothing.
type Criterion struct {
	ID            Text
	At            source.Span
	Type          Type
	Worth         *big.Rat
	For           []Text // finding codes
	ForAny        bool   // one of For is enough
	Needs         []Text
	FollowThrough bool
	Moves         []Text // for uses-move
	Slips         []Text // for one-slip; empty means every slip
	Feedback      Text
}

// Cap bounds the marks of some criteria together, always or where a finding is
// not met.
type Cap struct {
	At     source.Span
	Of     []Text // ids of criteria
	AtMost *big.Rat
	Unless Text // a finding that lifts the bound, or zero
}

// Credit says what a doubtful line earns.
type Credit string

// The credits of a rule.
const (
	Full   Credit = "full"   // as a right line
	Half   Credit = "half"   // half of a right line
	Zero   Credit = "none"   // nothing
	Person Credit = "person" // a person must mark it
)

// Rules say what doubtful lines and answers earn.
type Rules struct {
	Leap       Credit // true, but no move leads there
	OneWay     Credit // claimed two-way, holds in one direction
	SilentLink Credit // a right line without a written link
	Unreadable Credit // a line or an answer that cannot be read
}

// Hints says what feedback may give away.
type Hints string

// The levels of hints. No level shows the model answer.
const (
	NoHints     Hints = "none"   // that the mark is not earned
	PlaceHints  Hints = "place"  // the line, the slip and a number to try
	MethodHints Hints = "method" // a way that works as well
)

// DefaultRules hold where a rubric says nothing else.
func DefaultRules() Rules {
	return Rules{Leap: Zero, OneWay: Zero, SilentLink: Full, Unreadable: Person}
}

// Example is an answer with the marks that it must get.
type Example struct {
	At      source.Span
	Answer  Answer
	Marks   *big.Rat
	MarksAt source.Span
	Note    Text
}
