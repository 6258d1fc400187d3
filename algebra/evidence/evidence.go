// Package evidence holds what lets anyone re-check a verdict, and the small
// checker (the kernel) that does so.
//
// Every question put to the engine becomes: can these sign conditions hold
// together? (A statement holds when its assumptions and its negation cannot.)
// A Point shows that they can; a Refutation shows that they cannot. Both are
// plain data made by search code that this package does not import; a fault
// in the search may lose a proof, it cannot fake one.
//
//	evidence.go   the data: conjunctions, points, refutations
//	check.go      the kernel: points, combinations, cases
//	sturm.go      the kernel: one variable, by Sturm's theorem
//	text.go       refutations and points as text for people
package evidence

import (
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// Verdict answers a question. The zero Verdict is Unsettled: no answer was
// reached, and a person must look.
type Verdict uint8

const (
	Unsettled Verdict = iota
	Holds
	Fails
)

// String is the verdict's word on the wire.
func (v Verdict) String() string { return [...]string{"unsettled", "holds", "fails"}[v] }

// Conjunction is a list of sign conditions in one ring, asked to hold together.
type Conjunction struct {
	Ring  *poly.Ring
	Conds []poly.Condition
	// Whole marks the variables that range over the integers, by ring index;
	// nil means that all range over the reals.
	Whole []bool
}

// With is the conjunction with one more condition at the end.
func (c *Conjunction) With(cond poly.Condition) *Conjunction {
	conds := make([]poly.Condition, 0, len(c.Conds)+1)
	return &Conjunction{Ring: c.Ring, Conds: append(append(conds, c.Conds...), cond), Whole: c.Whole}
}

// IsWhole reports that variable i ranges over the integers.
func (c *Conjunction) IsWhole(i int) bool { return i < len(c.Whole) && c.Whole[i] }

// Point gives each variable of the ring, by index, an exact value.
type Point []number.Num

// RootPoint is a point whose variable Var is the one real root of Of between
// Lo and Hi (both excluded), for values that square roots do not express. It
// is used where all conditions concern this one variable.
type RootPoint struct {
	Var    int
	Of     poly.Poly
	Lo, Hi number.Num
}

// Refutation shows that a conjunction cannot hold: over the reals, or, where
// it concerns an integer variable, over the integers. It is one of Combination, Cases and OneVariable.
type Refutation interface{ refutation() }

// Combination refutes by one identity: Terms, each non-negative under the
// conditions and at least one positive, and Multiples, each zero under the
// conditions, add up to the zero polynomial. (The simple direction of
// Krivine's and Stengle's Positivstellensatz.)
type Combination struct {
	Terms     []Term
	Multiples []Multiple
}

// Term is Coef · Root² · (the conditions in Factors, each turned to read ≥ 0
// or > 0) · (the squares of the conditions in NonZero, each read ≠ 0).
// Coef is positive. The term is positive, not only non-negative, when Root is
// a constant other than zero and every factor is a strict condition.
type Term struct {
	Coef    number.Num
	Root    poly.Poly
	Factors []int
	NonZero []int
}

// Multiple is By times the polynomial of condition Cond, which reads = 0.
type Multiple struct {
	Cond int
	By   poly.Poly
}

// Cases refutes by the sign of P: each part refutes the conjunction with
// P < 0, P = 0 or P > 0 added as its last condition.
type Cases struct {
	P              poly.Poly
	Neg, Zero, Pos Refutation
}

// OneVariable refutes the conditions in Use, all in the one variable Var: Roots
// isolates every real root of their polynomials, and on each root and each
// open interval between roots some condition is false, or, for an integer
// variable, no integer lies there.
type OneVariable struct {
	Var   int
	Use   []int
	Roots []Isolated
}

// Isolated is an interval that holds exactly one root: Lo < root < Hi, or
// Lo = root = Hi.
type Isolated struct{ Lo, Hi number.Num }

// Substitution refutes after replacing variable Var by Value everywhere, which
// condition Cond, an equation that is a constant multiple of Var - Value,
// allows. Then refutes what comes out, condition by condition.
type Substitution struct {
	Cond, Var int
	Value     poly.Poly
	Then      Refutation
}

func (*Combination) refutation()  {}
func (*Cases) refutation()        {}
func (*OneVariable) refutation()  {}
func (*Substitution) refutation() {}
