package syntax

import (
	"squaremark/algebra/source"
)

// Kind says what a Node is. The comment gives its Kids and other fields.
type Kind int

const (
	Number       Kind = iota // Text: digits with an optional decimal point, exact; no Kids
	Name                     // Text: the variable's name, "x", "alpha"; Kids: none, or one index expression (a_i, a_{i+1}, a_1)
	Neg                      // -k0
	Plus                     // +k0, a plus sign in front
	Add                      // k0 + k1
	Sub                      // k0 - k1
	Mul                      // k0 * k1; Implicit when no sign was written
	Div                      // k0 / k1 (fraction bar, solidus, \frac, vulgar fraction)
	Pow                      // k0 ^ k1
	Root                     // the k1-th root of k0; k1 is the Number 2 for a square root
	Abs                      // |k0|
	PlusMinus                // k0 ± k1; one Kid: ±k0
	BigSum                   // sum over the index Text from k0 to k1 of k2
	Ellipsis                 // a sum written with dots: Kids are all terms of that sum, those before the dots and those after, in order (a subtracted one as Neg); Split is how many stand before. No Kids: the dots themselves inside a List, Tuple or Set
	Relation                 // k0 Rels[0] k1 Rels[1] k2 ...: a chain of relations. The first Kid may be a List (a, b > 0: it holds for every element, for some if its Text is "or"), the last one as well (x = 1, 2 or 3: it holds for some element)
	And                      // all Kids hold; Text says how it was written: "" with and, & or \wedge, "," or ";" with these alone
	Or                       // some Kid holds (or, \vee)
	Tuple                    // (k0, k1, ...), at least two Kids
	Set                      // {k0, k1, ...}; no Kids: the empty set
	List                     // k0, k1, ... without brackets, two or more expressions or tuples; Text is "or" or "and" when that word stands in it ("1, 2 or 3"), else ""
	Interval                 // from k0 to k1, LeftOpen, RightOpen; an Infinity end is open
	Infinity                 // ∞ (only inside an Interval or Neg in one)
	Standard                 // Text: one of "R", "Z", "N", "Q": a standard number set
	In                       // k0 ∈ k1; Negated for ∉; k0 may be a List: every element
	Union                    // k0 ∪ k1 ...
	None                     // "no solutions", "none", ∅ standing alone as an answer
	Compose                  // a set built by a condition: {k0 | k1}; k0 an expression or an In
	Intersection             // k0 ∩ k1 ...
	Without                  // k0 ∖ k1: what is in k0 and not in k1
	Not                      // ¬k0
	Implies                  // k0 ⇒ k1 inside one formula (b ⇐ a is read as a ⇒ b)
	Iff                      // k0 ⇔ k1 inside one formula
)

// Rel is a relation sign.
type Rel int

const (
	Eq Rel = iota // =
	Ne            // ≠
	Lt            // <
	Le            // ≤
	Gt            // >
	Ge            // ≥
)

// String is the plain-text sign: = != < <= > >=.
func (r Rel) String() string { return [...]string{"=", "!=", "<", "<=", ">", ">="}[r] }

// Link is the sign between two lines of a chain.
type Link int

const (
	NoLink   Link = iota // none written
	TwoWay               // <=>
	Forward              // =>  (this line follows from the one before)
	Backward             // <=  written as a link: the one before follows from this line
)

// String is the plain-text sign, "" for none.
func (l Link) String() string { return [...]string{"", "<=>", "=>", "<="}[l] }

// Node is one node of a syntax tree, with the place it was read from.
// Trees are immutable once read.
type Node struct {
	Kind      Kind
	At        source.Span
	Text      string
	Kids      []*Node
	Rels      []Rel
	Implicit  bool // Mul: no sign written
	Grouped   bool // written in brackets of its own
	LeftOpen  bool // Interval
	RightOpen bool // Interval
	Negated   bool // In
	Split     int  // Ellipsis
}

// Reading is a text understood: its tree, and how ambiguous places were read.
type Reading struct {
	Text  string
	Root  *Node
	Notes []*source.Diag
}
