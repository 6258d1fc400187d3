// Package series proves statements about sums for every number of terms. It
// never refutes: a counterexample is found for one number of terms, by the
// other procedures.
//
// A question arrives taken apart (formula.Sums): sums are atoms, variables of
// an ordinary formula. Whatever is proved about atoms comes from claims of
// one kind: a polynomial in the atoms is the sum, over one running index or
// over pairs or triples of them, of something that is not negative, plus an
// end term that is not negative. That something concerns finitely many
// members at running indices, and is decided by the ordinary procedures.
//
//	series.go     the question, the proof, the order of attempts
//	form.go       polynomials sorted by their atoms
//	linear.go     claims linear in sums: one running index
//	weights.go    how a monomial is spread over a window
//	products.go   products of sums: pairs and triples of running indices
//	tangent.go    a linear equation between sums, used as a tangent
//	abstract.go   signs of atoms and Cauchy's inequality as lemmas
//	induction.go  from n to n + 1
//	defined.go    where the summands are defined
//	recheck.go    claims written out for a few n
//
// Not covered: two numbers of terms, sums with bounds other than k and n + k,
// infinite sums.
package series

import (
	"fmt"

	"squaremark/algebra/budget"
	"squaremark/algebra/decide"
	"squaremark/algebra/evidence"
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// Problem asks whether all goals follow from Given for every number of terms
// from From on. All formulas live in Scope. Side lists conditions that must
// hold as well, among them those under which the goals are defined.
type Problem struct {
	Sums  *formula.Sums
	Scope *formula.Scope
	Given *formula.Formula
	Side  []*formula.Formula
	Goals []Goal
	From  int64 // at least Sums.Min
}

// Goal is a statement, and what it is for n + 1; Later is nil where induction
// is not sound.
type Goal struct{ Now, Later *formula.Formula }

// Proof shows the goals for every n ≥ From, once they are known for each n
// from Problem.From to From - 1: an induction may begin there. These n are
// left to the caller.
type Proof struct {
	From  int64
	Steps []string
	Cases []decide.Case

	sums   *formula.Sums
	claims []claim
}

// Shares of work, in budget units.
const (
	workMember   = 600_000 // one inequality between members
	workEnd      = 60_000  // one inequality between end terms, one sign
	workAbstract = 250_000 // one inequality between atoms
)

// maxAtoms bounds the different sums in one question, and maxTerms the terms of
// one condition, beyond which nothing but normal forms is tried.
const (
	maxAtoms = 30
	maxTerms = 120
)

// Prove looks for a proof. Cost: bounded by the meter of the scope's ring.
func Prove(p *Problem) (*Proof, bool) {
	s := &prover{Problem: p, meter: p.Scope.Ring.Meter(), proof: &Proof{From: p.From, sums: p.Sums}, signs: map[int]int{}}
	for _, f := range p.Side {
		if !s.prove(f, nil) {
			return nil, false
		}
	}
	for _, g := range p.Goals {
		if !s.prove(g.Now, g.Later) {
			return nil, false
		}
	}
	if s.meter.Exhausted() {
		return nil, false
	}
	return s.proof, true
}

type prover struct {
	*Problem
	meter *budget.Meter
	proof *Proof
	signs map[int]int // of atoms: 1 positive, 0 not negative, -1 not known
}

// prove goes through the parts of a goal; later is the whole for n + 1.
func (s *prover) prove(goal, later *formula.Formula) bool {
	switch goal.Op {
	case formula.True:
		return true
	case formula.All:
		for _, k := range goal.Kids {
			if !s.prove(k, nil) {
				return false
			}
		}
		return true
	case formula.Any:
		if s.try(func() bool { return s.abstract(goal) }) {
			return true
		}
		for _, k := range goal.Kids {
			if s.try(func() bool { return s.prove(k, nil) }) {
				return true
			}
		}
		return false
	case formula.Is:
		return s.condition(goal, later)
	}
	return s.abstract(goal)
}

// try undoes what a failed attempt has written into the proof.
func (s *prover) try(attempt func() bool) bool {
	old := *s.proof
	if attempt() {
		return true
	}
	*s.proof = old
	return false
}

func (s *prover) condition(goal, next *formula.Formula) bool {
	c := goal.Cond
	if !s.hasAtoms(c.P) {
		return s.plain(goal) || s.try(func() bool { return s.induction(goal, next) }) ||
			len(s.Sums.Atoms) > 0 && s.try(func() bool { return s.abstract(goal) })
	}
	ring := s.Scope.Ring
	p := c.P
	if len(s.Sums.Atoms) > maxAtoms || p.Len() > maxTerms {
		return false
	}
	switch c.Rel {
	case poly.Eq:
		return s.try(func() bool { return s.induction(goal, next) }) ||
			s.try(func() bool { return s.sums(p, false) && s.sums(ring.Neg(p), false) }) ||
			s.try(func() bool { return s.abstract(goal) })
	case poly.Ne:
		for _, f := range []poly.Poly{p, ring.Neg(p)} {
			if s.sums(f, true) {
				return true
			}
		}
		return s.try(func() bool { return s.abstract(goal) })
	case poly.Lt, poly.Le:
		p = ring.Neg(p)
	}
	strict := c.Rel == poly.Lt || c.Rel == poly.Gt
	return s.sums(s.strip(p), strict) ||
		s.try(func() bool { return s.induction(goal, next) }) || s.try(func() bool { return s.abstract(goal) })
}

// sums proves p ≥ 0, or p > 0, by running indices.
func (s *prover) sums(p poly.Poly, strict bool) bool {
	return s.try(func() bool { return s.linear(p, strict) }) ||
		s.try(func() bool { return s.products(p, strict) }) ||
		s.try(func() bool { return s.tangent(p, strict) })
}

// plain decides a condition without atoms. Where it concerns n alone it may
// hold from some later n on.
func (s *prover) plain(goal *formula.Formula) bool {
	scope := s.bounded(workEnd)
	last := int64(0)
	if v, ok := scope.Ring.OnlyVar(goal.Cond.P); ok && v < len(scope.Vars) && scope.Vars[v].Name == s.Sums.Size {
		last = 4
	}
	for k := int64(0); k <= last; k++ {
		given := formula.And(s.Given, s.Sums.AtLeast(scope, s.From+k))
		if a := decide.Always(scope, given, goal); a.Verdict == evidence.Holds {
			s.proof.From = max(s.proof.From, s.From+k)
			s.record(a)
			return true
		}
	}
	return false
}

// bounded is the scope of the question on a meter of its own.
func (s *prover) bounded(work int64) *formula.Scope { return on(s.Scope, s.meter.Part(work)) }

func on(scope *formula.Scope, m *budget.Meter) *formula.Scope {
	out := *scope
	out.Ring = scope.Ring.With(m)
	return &out
}

// always decides a statement in a scope with bounded work, and records what
// settles it.
func (s *prover) always(scope *formula.Scope, work int64, given, goal *formula.Formula) bool {
	a := decide.Always(on(scope, s.meter.Part(work)), given, goal)
	if a.Verdict != evidence.Holds {
		return false
	}
	s.record(a)
	return true
}

func (s *prover) record(a decide.Answer) {
	s.proof.Cases = append(s.proof.Cases, a.Cases...)
	for _, c := range a.Cases {
		s.step("%s", evidence.Sentence(c.Conj, c.Refutation))
	}
}

func (s *prover) step(format string, args ...any) {
	s.proof.Steps = append(s.proof.Steps, fmt.Sprintf(format, args...))
}

func (s *prover) hasAtoms(p poly.Poly) bool {
	for _, v := range s.Scope.Ring.Vars(p) {
		if s.Sums.AtomAt(s.Scope, v) >= 0 {
			return true
		}
	}
	return false
}

// sign is the sign of an atom: 1 positive, 0 not negative, -1 not known.
func (s *prover) sign(k int) int {
	if v, ok := s.signs[k]; ok {
		return v
	}
	s.signs[k] = -1
	atom := s.Sums.Atoms[k]
	if atom.Weighted && !atom.Standard {
		return -1 // windows take their index to lie between 1 and n
	}
	w, bodies, err := s.Sums.Window(1, atom.Width, []formula.Use{{Atom: k}}, nil, false)
	if err != nil {
		return -1
	}
	given := formula.And(w.Given, conditions(bodies[0].Domain))
	for _, sign := range []int{1, 0} {
		rel := poly.Gt
		if sign == 0 {
			rel = poly.Ge
		}
		if sign == 1 && s.From+atom.To < atom.From {
			continue // it may be empty
		}
		goal := w.Compare(formula.Term{Fraction: bodies[0].Fraction}, w.Zero(), rel)
		if s.always(w.Scope, workEnd, given, goal) {
			s.signs[k] = sign
			s.step("%s %s 0, where %s", atom.Name, rel, s.Sums.Text(k))
			return sign
		}
	}
	return -1
}

func conditions(list []poly.Condition) *formula.Formula {
	parts := make([]*formula.Formula, len(list))
	for i, c := range list {
		parts[i] = formula.Condition(c)
	}
	return formula.And(parts...)
}

// strip takes factors that are positive, the number of terms and positive
// atoms, out of p.
func (s *prover) strip(p poly.Poly) poly.Poly {
	r := s.Scope.Ring
	for _, v := range r.Vars(p) {
		k := s.Sums.AtomAt(s.Scope, v)
		size := v < len(s.Scope.Vars) && s.Scope.Vars[v].Name == s.Sums.Size && s.From >= 1
		for {
			q, ok := r.DivExact(p, r.Var(v))
			if !ok || q.IsZero() || k < 0 && !size || k >= 0 && s.sign(k) != 1 {
				break
			}
			p = q
		}
	}
	return p
}

// one is the fraction of a polynomial.
func one(r *poly.Ring, p poly.Poly) formula.Fraction {
	return formula.Fraction{Num: p, Den: r.Const(number.Int(1))}
}
