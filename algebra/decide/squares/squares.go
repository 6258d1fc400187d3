// Package squares refutes sign conditions by sums of squares and products of
// conditions, and by cases with such refutations. It finds refutations, it
// never shows that there is none.
//
//	squares.go      the order in which proofs are looked for
//	homogeneous.go  a + b + c = 3 used to make the rest homogeneous
//	split.go        cases by the sign of a polynomial, orders of variables
//	system.go       conditions prepared: factors of known sign taken out
//	coordinates.go  linear conditions made variables
//	monomials.go    rows for monomials, reduction by equations
//	products.go     products of conditions
//	linear.go       proofs by linear programming over squares of one or two monomials
//	gram.go         proofs by positive semidefinite Gram matrices
//	round.go        Gram matrices made exact
//	certificate.go  proofs written in the given variables and conditions
//	search_*.go     the searches in floating point
//
// Floating point only proposes proofs; what is returned is exact by
// construction, and the kernel re-checks it.
package squares

import (
	"squaremark/algebra/budget"
	"squaremark/algebra/decide/quadratic"
	"squaremark/algebra/evidence"
	"squaremark/algebra/poly"
)

// Refute looks for a refutation of c for as long as m allows. Domain: any
// conjunction; refutations hold over the reals. Cost: at most what m has left.
func Refute(c *evidence.Conjunction, m *budget.Meter) (evidence.Refutation, bool) {
	p := &prover{ring: c.Ring.With(m), meter: m}
	r, ok := p.refute(&evidence.Conjunction{Ring: p.ring, Conds: c.Conds, Whole: c.Whole}, 0)
	return r, ok && m.Err() == nil
}

// prover looks for one refutation.
type prover struct {
	ring   *poly.Ring
	meter  *budget.Meter
	signs  int  // cases by sign that are open
	plain  bool // no cases
	normed bool // cases made homogeneous
}

// maxDepth bounds nested cases.
const maxDepth = 24

// refute tries, in turn: one condition alone, an equation that gives a
// variable, a proof by squares, and cases.
func (p *prover) refute(c *evidence.Conjunction, depth int) (evidence.Refutation, bool) {
	if p.meter.Exhausted() || depth > maxDepth {
		return nil, false
	}
	if r, ok := p.constant(c); ok {
		return r, true
	}
	if r, ok := quadratic.Refute(c); ok {
		return r, true
	}
	value, linear := p.solved(c)
	_, normed := normOf(c, p.ring)
	if linear {
		// Where the equation could also make everything homogeneous, cases are
		// better looked for there, so that the first attempt does without.
		plain := p.plain
		p.plain = p.plain || normed
		r, ok := p.substitute(c, value, depth)
		p.plain = plain
		if ok || !normed {
			return r, ok
		}
	} else if r, open := p.combine(c, false); r != nil || !open {
		return r, r != nil
	}
	if normed {
		if r, open := p.combine(c, true); r != nil || !open {
			return r, r != nil
		}
	}
	if p.plain {
		return nil, false
	}
	if normed {
		if r, ok := p.orderedNormed(c, depth); ok {
			return r, true
		}
	}
	if linear {
		return p.substitute(c, value, depth)
	}
	return p.split(c, depth)
}

// constant refutes by a condition without variables.
func (p *prover) constant(c *evidence.Conjunction) (evidence.Refutation, bool) {
	for k, cond := range c.Conds {
		if v, constant := cond.P.IsConst(); constant && !cond.Rel.Holds(v.Sign()) {
			return quadratic.Refute(&evidence.Conjunction{Ring: c.Ring, Conds: c.Conds[:k+1]})
		}
	}
	return nil, false
}

// solved finds an equation that gives a variable as a polynomial in the others.
func (p *prover) solved(c *evidence.Conjunction) (s evidence.Substitution, ok bool) {
	for k, cond := range c.Conds {
		if cond.Rel != poly.Eq {
			continue
		}
		for _, v := range p.ring.Vars(cond.P) {
			if p.ring.DegreeIn(cond.P, v) != 1 {
				continue
			}
			parts := p.ring.Coeffs(cond.P, v)
			if len(parts) != 2 {
				return s, false
			}
			factor, constant := parts[1].IsConst()
			if inv, invertible := factor.Neg().Inv(); constant && invertible {
				return evidence.Substitution{Cond: k, Var: v, Value: p.ring.Scale(parts[0], inv)}, true
			}
		}
	}
	return s, false
}

// substitute refutes c with a variable replaced.
func (p *prover) substitute(c *evidence.Conjunction, s evidence.Substitution, depth int) (evidence.Refutation, bool) {
	next := &evidence.Conjunction{Ring: p.ring, Whole: c.Whole, Conds: make([]poly.Condition, len(c.Conds))}
	for i, cond := range c.Conds {
		next.Conds[i] = poly.Condition{P: p.ring.Subst(cond.P, s.Var, s.Value), Rel: cond.Rel}
	}
	then, ok := p.refute(next, depth+1)
	if !ok {
		return nil, false
	}
	s.Then = then
	return &s, true
}

// combine looks for a Combination: at each degree by linear programming, then
// by Gram matrices. open is false when a point shows that there is none.
func (p *prover) combine(c *evidence.Conjunction, normed bool) (r evidence.Refutation, open bool) {
	s := newSystem(c, p.ring, normed)
	t, ok := newTable(s)
	if !ok || p.meter.Exhausted() {
		return nil, true
	}
	points, possible := s.tightPoints(t)
	if possible {
		return nil, false
	}
	homogeneous := s.homogeneous()
	for _, d := range s.degrees() {
		products := s.products(t, d)
		products = append(products, s.positiveMonomials(t, d, products)...)
		if r, ok := s.linearProof(c, t, products, d, homogeneous, points); ok {
			return r, true
		}
		if r, ok := s.gramProof(c, t, products, d, homogeneous, points); ok {
			return r, true
		}
		if p.meter.Exhausted() {
			return nil, true
		}
	}
	return nil, true
}
