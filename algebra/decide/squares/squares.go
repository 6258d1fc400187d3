// Package squares refutes sign conditions by sums of squares and products of
// conditions, and by cases with such refutations. It finds refutations, it
// never shows that there is none.
//
//	squares.go      the order in which proofs are looked for
//	homogeneous.go  a + b + c = 3 used to make the rest homogeneous
//	surds.go        square roots among coefficients written as variables
//	split.go        cases by the sign of a polynomial, orders of variables
//	system.go       conditions prepared: factors of known sign taken out
//	coordinates.go  linear conditions made variables
//	factors.go      known factors found in conditions
//	ideal.go        equations completed
//	monomials.go    rows for monomials, reduction by equations
//	products.go     products of conditions
//	linear.go       proofs by linear programming over squares of one or two monomials
//	gram.go         proofs by positive semidefinite Gram matrices
//	face.go         Gram matrices restricted to faces
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
	p := newProver(c.Ring.With(m))
	direct := &evidence.Conjunction{Ring: p.ring, Conds: c.Conds, Whole: c.Whole}
	if s, ok := newSurds(direct, m.Part(m.Left()/2)); ok {
		q := newProver(s.ring)
		q.fixed = c.Ring.Len()
		if lifted, ok := q.refute(s.lifted, 0); ok {
			if r, ok := s.refutation(p.ring, lifted); ok && m.Err() == nil {
				return r, true
			}
		}
	}
	r, ok := p.refute(direct, 0)
	return r, ok && m.Err() == nil
}

func newProver(r *poly.Ring) *prover { return &prover{ring: r, meter: r.Meter(), fixed: r.Len()} }

// prover looks for one refutation.
type prover struct {
	ring     *poly.Ring
	meter    *budget.Meter
	fixed    int  // variables from here on stand for numbers
	quick    bool // linear proofs only, no cases but by order
	normed   bool // ordered cases are made homogeneous
	signs    int  // cases by sign that are open
	possible bool // a point was met at which everything holds
}

// maxDepth bounds nested cases.
const maxDepth = 24

// refute looks for a quick refutation, then for any.
func (p *prover) refute(c *evidence.Conjunction, depth int) (evidence.Refutation, bool) {
	p.quick = true
	r, ok := p.attempt(c, depth)
	p.quick = false
	if ok {
		return r, true
	}
	return p.attempt(c, depth)
}

// attempt tries, in turn: one condition alone, an equation that gives a
// variable, a proof by squares, and cases.
func (p *prover) attempt(c *evidence.Conjunction, depth int) (evidence.Refutation, bool) {
	if p.possible || p.meter.Exhausted() || depth > maxDepth {
		return nil, false
	}
	if r, ok := p.constant(c); ok {
		return r, true
	}
	if r, ok := quadratic.Refute(c); ok {
		return r, true
	}
	_, normed := normOf(c, p.ring)
	value, linear := p.solved(c)
	if linear {
		// Where the equation could also make everything homogeneous, cases
		// are looked for there.
		if r, ok := p.substitute(c, value, depth); ok || !normed {
			return r, ok
		}
	} else if r := p.combine(c, false, p.effort()); r != nil {
		return r, true
	}
	if normed {
		if r := p.combine(c, true, p.effort()); r != nil {
			return r, true
		}
	}
	if p.quick || normed {
		if r, ok := p.orderedAll(c, normed, depth); ok || p.quick {
			return r, ok
		}
	}
	if linear {
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

// solved finds an equation that gives a variable as a polynomial in the others.
func (p *prover) solved(c *evidence.Conjunction) (s evidence.Substitution, ok bool) {
	for k, cond := range c.Conds {
		if cond.Rel != poly.Eq {
			continue
		}
		for _, v := range p.ring.Vars(cond.P) {
			if v >= p.fixed || p.ring.DegreeIn(cond.P, v) != 1 {
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
	then, ok := p.attempt(next, depth+1)
	if !ok {
		return nil, false
	}
	s.Then = then
	return &s, true
}

// effort says which proofs to look for at the degrees that occur in the
// conditions, and whether to go beyond them.
type effort struct {
	linear   bool
	from, to int64 // Gram matrices whose search costs this much a step
	beyond   bool
}

// cheapStep is the cost of a step of the search for Gram matrices, in budget
// units, up to which it comes before cases by order.
const cheapStep = 5000

var (
	onlyLinear = effort{linear: true}
	cheap      = effort{linear: true, to: cheapStep}
	remaining  = effort{from: cheapStep, to: 1 << 40, beyond: true}
	everything = effort{linear: true, to: 1 << 40, beyond: true}
)

func (p *prover) effort() effort {
	if p.quick {
		return cheap
	}
	return remaining
}

// combine looks for a Combination: by linear programming and by Gram
// matrices, degree by degree.
func (p *prover) combine(c *evidence.Conjunction, normed bool, e effort) evidence.Refutation {
	s := newSystem(c, p.ring, normed)
	t, ok := newTable(s)
	if !ok || p.possible || p.meter.Exhausted() {
		return nil
	}
	var points tight
	if points, p.possible = s.tightPoints(t); p.possible {
		return nil
	}
	homogeneous := s.homogeneous()
	degrees := s.degrees()
	top := degrees[len(degrees)-1] - beyond
	for _, d := range degrees {
		if d > top {
			if !e.beyond {
				break
			}
			e = everything
		}
		if p.meter.Exhausted() {
			break
		}
		products := s.products(t, d)
		products = append(products, s.positiveMonomials(t, d, products)...)
		if !anyStrict(products, d, homogeneous) {
			continue
		}
		if e.linear {
			if r, ok := s.linearProof(c, t, products, d, homogeneous, points); ok {
				return r
			}
		}
		if e.to > 0 {
			if r, ok := s.gramProof(c, t, products, d, homogeneous, points, e); ok {
				return r
			}
		}
	}
	return nil
}
