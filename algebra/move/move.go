// Package move is the catalogue of moves: the recognised ways to get from one
// line of a written argument to the next. From a true claim every true line
// "follows", so truth alone justifies nothing; a step is justified when a move
// leads from the line before (or an earlier line, or a given) to it.
//
//	move.go        what a move is, and what trying one gives
//	catalogue.go   all moves, in the order in which they are tried
//	line.go        a line as relations between expressions
//	sets.go        lines about membership, and ±
//	fraction.go    arithmetic of fractions, roots folded
//	roots.go       how roots hang together
//	sums.go        sums for every number of terms
//	summand.go     a side taken apart
//	form.go        how a line is written
//	setting.go     the givens, and what is known under them
//	signs.go       signs that can be read off
//	factor.go      the core of multiplying and dividing both sides
//	span.go        the core of adding several lines
//	quantity.go    the core of solving in one quantity
//	evident.go     lines that need no proof
//	text.go        conditions and identities as text
//	pair.go        two lines, and the core of all rewriting: left minus right
//	search.go      which moves lead from one line to another
//	twomoves.go    a line between
//
// and one file for each move, named after it, with its examples in
// testdata/<id>.txt.
//
// A move that reports Proved has shown, by an exact identity or through
// package decide, that one line follows from the other under the givens.
// Lines are read as false where a part of them is undefined.
//
// Not covered: induction, proof by contradiction, calculus.
package move

import (
	"squaremark/algebra/poly"
)

// Family groups the moves for the manual.
type Family string

// The families.
const (
	Rewriting Family = "rewriting"  // the same relation between the same sides, written differently
	BothSides Family = "both sides" // the same done to both sides
	Solving   Family = "solving"    // from a relation to the values that satisfy it
	Using     Family = "using"      // several lines or givens together
	Weakening Family = "weakening"  // one way only
	Facts     Family = "facts"      // what stands by itself
)

// Move is one recognised way to get from a line to another.
type Move struct {
	ID        string // words joined by hyphens, never reused
	Title     string // what a teacher would call it
	Text      string // one sentence that states it
	Condition string // what it needs, "" for nothing
	Family    Family
	Since     string // engine version
	Source    string
	Try       func(*Pair) Result
}

// Status says how far one direction of a step is justified by a move.
type Status uint8

// The values of Status. No is the zero value.
const (
	No          Status = iota
	Conditional        // the move would lead there under conditions that are not established
	Proved             // the direction holds under the givens
)

// Way is one direction of a step.
type Way struct {
	Status Status
	Needs  []poly.Condition // of Conditional: what is missing
	Uses   []int            // of Proved: the earlier lines used; Given for a given
	Plain  bool             // the move is visible in the lines as written
	Domain bool             // of Conditional: what is missing is that the line is defined
}

// Given stands for a given among the lines that a step uses, Claim for the
// claim; other lines have their number.
const (
	Claim = -1
	Given = -2
)

// Codes that say why a move does not lead from one line to the other.
const (
	CodeShape     = "other-shape"     // the lines do not have the form that the move is about
	CodeUnequal   = "not-equal"       // the form fits, the expressions do not agree
	CodeCondition = "needs-condition" // a condition is not established
	CodeOneWay    = "one-way"         // the move leads the other way only
)

// Result is what trying a move gives: the two directions, or why there is none.
type Result struct {
	Forward, Backward Way
	Code              string
}

// proved is a visible justification without conditions.
var proved = Way{Status: Proved, Plain: true}

// bothWays is the result of a reversible move.
var bothWays = Result{Forward: proved, Backward: proved}

func refused(code string) Result { return Result{Code: code} }

// turned swaps the directions.
func (r Result) turned() Result { return Result{r.Backward, r.Forward, r.Code} }

// found reports that the move says anything about the pair.
func (r Result) found() bool { return r.Forward.Status != No || r.Backward.Status != No }

// both is the way that needs a and then b.
func (a Way) both(b Way) Way {
	return Way{
		Status: min(a.Status, b.Status),
		Needs:  append(append([]poly.Condition(nil), a.Needs...), b.Needs...),
		Uses:   union(a.Uses, b.Uses),
		Plain:  a.Plain && b.Plain,
		Domain: a.Domain || b.Domain,
	}
}

// better is the stronger of two ways, a on a draw.
func (a Way) better(b Way) Way {
	if b.Status > a.Status || b.Status == a.Status && b.Plain && !a.Plain {
		return b
	}
	return a
}

func union(a, b []int) []int {
	out := append([]int(nil), a...)
	for _, k := range b {
		seen := false
		for _, j := range out {
			seen = seen || j == k
		}
		if !seen {
			out = append(out, k)
		}
	}
	return out
}
