// Package squares refutes sign conditions by sums of squares and products of
// conditions, and by cases with such refutations. It finds refutations, it
// never shows that there is none.
//
//	squares.go      the order in which proofs are looked for
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
	ring  *poly.Ring
	meter *budget.Meter
	signs int // cases by sign that are open
}

// maxDepth bounds nested cases.
const maxDepth = 8

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
	if r, ok := p.substitute(c, depth); ok {
		return r, r != nil
	}
	r, open := p.combine(c)
	if r != nil {
		return r, true
	}
	if !open {
		return nil, false
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

// substitute replaces a variable that an equation gives as a polynomial in the
// others. ok reports that there was one; the refutation may still be nil.
func (p *prover) substitute(c *evidence.Conjunction, depth int) (r evidence.Refutation, ok bool) {
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
				return nil, true
			}
			factor, constant := parts[1].IsConst()
			inv, invertible := factor.Neg().Inv()
			if !constant || !invertible {
				continue
			}
			value := p.ring.Scale(parts[0], inv)
			next := &evidence.Conjunction{Ring: p.ring, Whole: c.Whole, Conds: make([]poly.Condition, len(c.Conds))}
			for i, other := range c.Conds {
				next.Conds[i] = poly.Condition{P: p.ring.Subst(other.P, v, value), Rel: other.Rel}
			}
			then, ok := p.refute(next, depth+1)
			if !ok {
				return nil, true
			}
			return &evidence.Substitution{Cond: k, Var: v, Value: value, Then: then}, true
		}
	}
	return nil, false
}

// combine looks for a Combination: at each degree by linear programming, then
// by Gram matrices. open is false when a point shows that there is none.
func (p *prover) combine(c *evidence.Conjunction) (r evidence.Refutation, open bool) {
	s := newSystem(c, p.ring)
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
