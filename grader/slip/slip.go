// Package slip names the wrong transformation behind a wrong answer.
//
// A slip is named only if applying it to the right object gives exactly what
// was written: the written polynomial coefficient by coefficient, the written
// line as an identity, or the written solution set as the engine finds it.
// Where two slips give the same, the first in the catalogue is named; it runs
// from the most telling to the most general. Where no slip does it alone, two
// that act in different places are named if both together do. No slip is a
// proof that the pupil thought so; it says what comes out.
//
//	slip.go       slips, examples
//	catalogue.go  the list of all slips
//	finder.go     from an answer to its slips
//	change.go     what was there and what was written, as polynomials
//	search.go     one slip, or two together, behind a change
//	line.go       two lines of a chain, side by side
//	fraction.go   lines with fractions, roots and sums
//	whole.go      conditions on whole numbers, solved again
//	numbers.go    a cheap look at the numbers of an answer
//	tree.go       changes to syntax trees
//
// Every other file is one slip.
//
// Not covered: three slips in one line, two slips in a line with fractions,
// roots or sums.
package slip

import (
	"slices"

	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// The kinds of answer in which slips are looked for.
const (
	SquareForm = "square-form"
	Integers   = "integers"
	Steps      = "steps"
)

// Slip is one wrong transformation. It is recognised by one or more of its
// functions; nil ones are left out.
type Slip struct {
	ID       string   // words, never reused
	Title    string   // a noun phrase in the trade's words
	Text     string   // goes on: "this is what comes out when ..."
	Kinds    []string // SquareForm, Integers, Steps
	Source   string
	Examples []Example
	General  bool // too general to be one of two slips

	// forward lists what the slip makes of one node of what was there; undo
	// lists what one node of what was written was made from.
	forward, undo func(*syntax.Node) []*syntax.Node
	// offsets gives what the slip adds to what was there; place tells where,
	// as two slips in one place do not add up.
	offsets func(c change, found func(by poly.Poly, place any))
	// answer reports that what was written is what the slip makes of it.
	answer func(change) bool
	// line reports that a line is what the slip makes of the line before.
	line func(line) bool
	// sets lists the conditions that the slip solves instead.
	sets func(w integers, try func(solve []*syntax.Node, order []string) bool) bool
}

// Example is an answer with or without the slip. Ask is the expression, the
// condition, or the line before.
type Example struct {
	Kind      string
	Variables string // "x, y" for reals, "n, m: integer" for whole numbers; parts are separated by ;
	Givens    []string
	Ask       string
	Written   string
	Named     bool   // this slip is named
	With      string // the other slip, where it takes two
}

// ArisesFor reports that the slip is looked for in answers of this kind.
func (s *Slip) ArisesFor(kind string) bool { return slices.Contains(s.Kinds, kind) }
