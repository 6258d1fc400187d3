// Package integer finds the integer solutions of a formula in one or several
// unknowns: a finite list, or an infinite set described as text.
//
//	integer.go   the question, the answer set, one unknown
//	member.go    whether a tuple is a solution, by evaluation
//	problem.go   conditions made ready for integers, substitution
//	search.go    the search: which step to take next
//	branch.go    factors and signs, case by case
//	bound.go     ranges of the unknowns, each from one condition
//	combine.go   ranges from conditions together
//	corner.go    ranges from a corner of a region
//	linear.go    integer changes of variables, linear equations
//	conic.go     equations of degree 2 in two unknowns that factor
//	divisor.go   equations that make an unknown a divisor
//	resultant.go two equations in two unknowns
//	infinite.go  proofs that there are infinitely many
//	residue.go   remainders: no solution, or the unknown that is divided by
//	family.go    infinite parts and their text
//	recheck.go   the slow way, for tests and doubts
//	read.go      a pupil's answer as a set; listing.go values written out,
//	             solved.go which formulas are answers
//	compare.go   what an answer misses and what it adds
//
// Whatever is listed was put into the question and fits; that nothing is
// missing rests on the bounds named in the evidence. Where no bound and no
// proof of infinity is found the answer is a reason, never a guess.
//
// Not covered: equations that need more than the methods above, such as
// cubic curves, and unknowns that range over anything but integers.
package integer

import (
	"fmt"
	"math/big"
	"slices"

	"squaremark/algebra/budget"
	"squaremark/algebra/decide/onevar"
	"squaremark/algebra/formula"
)

// MaxListed is the number of solutions that are listed; a finite set with
// more members is left unsettled.
const MaxListed = 20_000

// Set is a set of integer tuples.
type Set struct {
	Unknowns []string
	// Finite sets list their members in lexicographic order.
	Finite bool
	Tuples [][]*big.Int
	// Text describes an infinite set: "x <= 1 or x >= 3", "x = y".
	Text string
	// Runs is the set itself where there is one unknown.
	Runs onevar.Runs
	// Evidence is the argument, one line a step.
	Evidence []string

	condition condition
}

// IsEmpty reports a set without members.
func (s *Set) IsEmpty() bool { return s.Finite && len(s.Tuples) == 0 }

// Unsettled is the error for a set that was not found: Reason is one
// sentence for a person.
type Unsettled struct{ Reason string }

// Error gives the reason.
func (e *Unsettled) Error() string { return e.Reason }

func unsettled(format string, args ...any) error { return &Unsettled{fmt.Sprintf(format, args...)} }

// Solve is the set of integer values of the unknowns (ring indices of the
// scope) for which f holds; unknowns that are declared positive integers are
// at least 1. The error is an *Unsettled.
//
// Exact. One unknown: complete. Several: complete for systems in which
// positive-definite quadratics, even powers, boxes, products, divisors or
// linear equations bound the unknowns one after the other. Cost: a few
// hundred units of work for each node of the search.
func Solve(scope *formula.Scope, f *formula.Formula, unknowns []int, m *budget.Meter) (*Set, error) {
	c := condition{scope: scope, f: f, unknowns: unknowns}
	for _, v := range unknowns {
		if v < len(scope.Vars) && scope.Vars[v].Range == formula.PositiveInteger {
			c.positive = append(c.positive, v)
		}
	}
	set := &Set{condition: c}
	for _, v := range unknowns {
		set.Unknowns = append(set.Unknowns, scope.Ring.Name(v))
	}
	g, ok := onevar.WithoutRoots(scope, c.full())
	if err := m.Err(); err != nil {
		return nil, unsettled("%s", err)
	}
	if !ok {
		return nil, unsettled("a root of this kind is not decided here")
	}
	for _, cond := range g.Conditions() {
		for _, v := range scope.Ring.Vars(cond.P) {
			if !c.isUnknown(v) {
				return nil, unsettled("%s is not one of the unknowns", scope.Name(v))
			}
		}
	}
	var err error
	if len(unknowns) == 1 {
		err = set.solveOne(g, m)
	} else {
		err = set.solveSeveral(g, m)
	}
	if err != nil {
		return nil, err
	}
	if err := m.Err(); err != nil {
		return nil, unsettled("%s", err)
	}
	if err := set.confirm(); err != nil {
		return nil, err
	}
	return set, nil
}

// solveOne reads the integers off the real solution set.
func (s *Set) solveOne(g *formula.Formula, m *budget.Meter) error {
	r := s.condition.scope.Ring.With(m)
	reals, ok := onevar.SolvePolynomial(r, g, s.condition.unknowns[0])
	if !ok {
		if err := m.Err(); err != nil {
			return unsettled("%s", err)
		}
		return unsettled("the real solutions were not found")
	}
	name := s.Unknowns[0]
	s.Runs = reals.Integers()
	s.Evidence = []string{"over the real numbers: " + reals.Text(name)}
	if s.Finite = s.Runs.IsFinite(); !s.Finite {
		s.Text = s.Runs.Text(name)
		return nil
	}
	n := s.Runs.Len()
	if n.Cmp(big.NewInt(MaxListed)) > 0 {
		return tooMany(n.String())
	}
	s.Tuples = listed(s.Runs)
	return nil
}

// listed lists the members of a finite set in one unknown.
func listed(r onevar.Runs) [][]*big.Int {
	var list [][]*big.Int
	for _, run := range r {
		for k := run.Lo; k.Cmp(run.Hi) <= 0; k = new(big.Int).Add(k, one) {
			list = append(list, []*big.Int{k})
		}
	}
	return list
}

func tooMany(n string) error {
	return unsettled("there are %s solutions, more than the %d that are listed", n, MaxListed)
}

var one = big.NewInt(1)

// confirm puts every listed member into the question.
func (s *Set) confirm() error {
	for _, t := range s.Tuples {
		holds, ok := s.condition.holds(t)
		if err := s.condition.scope.Ring.Meter().Err(); err != nil {
			return unsettled("%s", err)
		}
		if !ok || !holds {
			return unsettled("the solution %s could not be confirmed", TupleText(t))
		}
	}
	return nil
}

// Contains reports whether a tuple is a member, in an infinite set by
// evaluation; ok is false when a root in the question was not evaluated
// exactly.
func (s *Set) Contains(tuple []*big.Int) (member, ok bool) {
	if s.Finite {
		_, member = slices.BinarySearchFunc(s.Tuples, tuple, compareTuples)
		return member, true
	}
	return s.condition.holds(tuple)
}

// Formula is what the members of a set found by Solve satisfy: the question
// with the ranges of its unknowns.
func (s *Set) Formula() *formula.Formula { return s.condition.full() }

// TupleText is 3 for one unknown, (1, -2) for several.
func TupleText(t []*big.Int) string {
	if len(t) == 1 {
		return t[0].String()
	}
	text := "("
	for i, k := range t {
		if i > 0 {
			text += ", "
		}
		text += k.String()
	}
	return text + ")"
}
