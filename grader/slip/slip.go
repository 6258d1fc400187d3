// Package slip names the wrong transformation behind a wrong answer.
//
// A slip is named only if applying it to the right object gives exactly what
// was written: the written polynomial coefficient by coefficient, or the
// written solution set as the engine finds it. Where two slips give the same,
// the first in the catalogue is named. No slip is a proof that the pupil
// thought so; it says what comes out.
//
//	slip.go       slips, examples
//	catalogue.go  the list of all slips
//	finder.go     from an answer to its slip
//	square.go     answers and lines with squares, as polynomials
//	line.go       two lines of a chain, side by side
//	whole.go      conditions on whole numbers, solved again
//	tree.go       changes to syntax trees
//
// Every other file is one slip.
//
// Not covered: two slips in one line, slips in lines with several relations.
package slip

import "slices"

// The kinds of answer in which slips are looked for.
const (
	SquareForm = "square-form"
	Integers   = "integers"
	Steps      = "steps"
)

// Slip is one wrong transformation.
type Slip struct {
	ID       string   // words, never reused
	Title    string   // a noun phrase in the trade's words
	Text     string   // goes on: "this is what comes out when ..."
	Kinds    []string // SquareForm, Integers, Steps
	Source   string
	Examples []Example

	square func(squares) bool  // the answer is what the slip makes of the expression
	line   func(line) bool     // the line is what the slip makes of the line before
	whole  func(integers) bool // the answer is the solution set that the slip finds
}

// Example is an answer with or without the slip. Ask is the expression, the
// condition, or the line before.
type Example struct {
	Kind      string
	Variables string // "x, y" for reals, "n, m: integer" for whole numbers
	Givens    []string
	Ask       string
	Written   string
	Named     bool // this slip is named
}

// ArisesFor reports that the slip is looked for in answers of this kind.
func (s *Slip) ArisesFor(kind string) bool { return slices.Contains(s.Kinds, kind) }
