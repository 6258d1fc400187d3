package squares

import (
	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// maxSignCases bounds the variables whose sign is split on, one within the
// other, and maxOrdered the variables whose order is.
const (
	maxSignCases = 8
	maxOrdered   = 4
)

// split refutes by cases: by the sign of a polynomial that is given not to be
// zero, by the sign of a variable, or by the order of the variables.
func (p *prover) split(c *evidence.Conjunction, depth int) (evidence.Refutation, bool) {
	if p.signs >= maxSignCases {
		return nil, false
	}
	signs := (&system{ring: p.ring, facts: newFacts(c, p.ring)}).variableSigns()
	if f, ok := p.squareRoot(c); ok {
		return p.cases(c, f, depth)
	}
	for _, cond := range c.Conds {
		if cond.Rel != poly.Ne || cond.P.Degree() < 1 {
			continue
		}
		if v, ok := p.ring.OnlyVar(cond.P); ok && cond.P.Len() == 1 && signs[v].strict || p.signGiven(c, cond.P) != 0 {
			continue
		}
		return p.cases(c, cond.P, depth)
	}
	used, unsigned := p.variables(c)
	if len(unsigned) > 0 {
		return p.cases(c, p.ring.Var(unsigned[0]), depth)
	}
	if f, ok := p.aroundPoint(c, used); ok {
		return p.cases(c, f, depth)
	}
	if len(used) >= 2 && len(used) <= maxOrdered {
		return p.orderedAll(c, false, depth)
	}
	return nil, false
}

// squareRoot looks for an equation v² = q² with v ≥ 0 and a linear q, as |q|
// brings in: the sign of q comes first, then that of v − |q|.
func (p *prover) squareRoot(c *evidence.Conjunction) (poly.Poly, bool) {
	r := p.ring
	signs := (&system{ring: r, facts: newFacts(c, r)}).variableSigns()
	for _, cond := range c.Conds {
		if cond.Rel != poly.Eq {
			continue
		}
		for _, v := range r.Vars(cond.P) {
			parts := r.Coeffs(cond.P, v)
			if signs[v].sign <= 0 || len(parts) != 3 || !parts[1].IsZero() || parts[2].Degree() != 0 {
				continue
			}
			inv, _ := parts[2].LeadCoef().Neg().Inv()
			factors := r.SquareFree(parts[0])
			root, rational := r.Content(parts[0]).Mul(inv).Sqrt()
			if len(factors) != 1 || factors[0].Mult != 2 || factors[0].Base.Degree() != 1 || !rational {
				continue
			}
			f := r.Scale(factors[0].Base, root) // ±q
			if sign := p.signGiven(c, f); sign != 0 {
				f = r.Sub(r.Var(v), r.Scale(f, number.Int(int64(sign))))
			}
			if p.signGiven(c, f) == 0 {
				return f, true
			}
		}
	}
	return poly.Poly{}, false
}

// aroundPoint is v − a for the first variable whose place beside its value a
// at a tight point is not known: many inequalities are proved by cases around
// the point of equality. Only for conditions that are not homogeneous, where
// the point is one of few.
func (p *prover) aroundPoint(c *evidence.Conjunction, used []int) (poly.Poly, bool) {
	s := &system{ring: p.ring, facts: newFacts(c, p.ring)}
	t, ok := newTable(s)
	if !ok || len(used) > maxOrdered || s.homogeneous() {
		return poly.Poly{}, false
	}
	points, _ := s.tightPoints(t)
	places, values := points.besides()
	for k, i := range places {
		f := p.ring.Sub(p.ring.Var(t.vars[i]), p.ring.Const(values[k]))
		if p.signGiven(c, f) == 0 {
			return f, true
		}
	}
	return poly.Poly{}, false
}

// signGiven is 1 or −1 when a strict condition on a multiple of f gives it
// that sign.
func (p *prover) signGiven(c *evidence.Conjunction, f poly.Poly) int {
	for _, cond := range c.Conds {
		if cond.Rel != poly.Lt && cond.Rel != poly.Gt {
			continue
		}
		ratio, ok := cond.P.LeadCoef().Div(f.LeadCoef())
		if !ok || !p.ring.Equal(cond.P, p.ring.Scale(f, ratio)) {
			continue
		}
		if cond.Rel == poly.Gt {
			return ratio.Sign()
		}
		return -ratio.Sign()
	}
	return 0
}

// variables lists the variables that occur in c, and those of them whose sign
// no condition gives.
func (p *prover) variables(c *evidence.Conjunction) (used, unsigned []int) {
	signs := (&system{ring: p.ring, facts: newFacts(c, p.ring)}).variableSigns()
	for v := range p.ring.Len() {
		for _, cond := range c.Conds {
			if p.ring.DegreeIn(cond.P, v) > 0 {
				used = append(used, v)
				if signs[v].sign == 0 {
					unsigned = append(unsigned, v)
				}
				break
			}
		}
	}
	return used, unsigned
}

// cases refutes by the sign of f.
func (p *prover) cases(c *evidence.Conjunction, f poly.Poly, depth int) (evidence.Refutation, bool) {
	p.signs++
	defer func() { p.signs-- }()
	out := &evidence.Cases{P: f}
	for _, part := range []struct {
		rel poly.Rel
		to  *evidence.Refutation
	}{{poly.Gt, &out.Pos}, {poly.Lt, &out.Neg}, {poly.Eq, &out.Zero}} {
		r, ok := p.refute(c.With(poly.Condition{P: f, Rel: part.rel}), depth+1)
		if !ok {
			return nil, false
		}
		*part.to = r
	}
	return out, true
}

// order says which of two variables is known to be above the other.
type order map[[2]int]bool

// with is the order with a above b and what follows.
func (o order) with(a, b int) order {
	next := order{{a, b}: true}
	for k := range o {
		next[k] = true
	}
	for grown := true; grown; {
		grown = false
		for k := range next {
			for l := range next {
				if k[1] == l[0] && !next[[2]int{k[0], l[1]}] {
					next[[2]int{k[0], l[1]}] = true
					grown = true
				}
			}
		}
	}
	return next
}

// ordered refutes by cases for every order of the variables, equal ones
// included: one leaf for each of the 3, 13, 75 weak orders of 2, 3, 4.
func (p *prover) ordered(c *evidence.Conjunction, vars []int, known order, depth int) (evidence.Refutation, bool) {
	for i, a := range vars {
		for _, b := range vars[i+1:] {
			if known[[2]int{a, b}] || known[[2]int{b, a}] {
				continue
			}
			diff := p.ring.Sub(p.ring.Var(a), p.ring.Var(b))
			out := &evidence.Cases{P: diff}
			var ok bool
			if out.Pos, ok = p.ordered(c.With(poly.Condition{P: diff, Rel: poly.Gt}), vars, known.with(a, b), depth+1); !ok {
				return nil, false
			}
			if out.Neg, ok = p.ordered(c.With(poly.Condition{P: diff, Rel: poly.Lt}), vars, known.with(b, a), depth+1); !ok {
				return nil, false
			}
			out.Zero, ok = p.equalVariables(c.With(poly.Condition{P: diff, Rel: poly.Eq}), vars, known, a, b, depth)
			return out, ok
		}
	}
	if len(vars) < 2 {
		return p.attempt(c, depth)
	}
	e := everything
	if p.quick {
		e = onlyLinear
	}
	r := p.combine(c, p.normed, e)
	return r, r != nil
}

// orderedAll is ordered for all variables, if they are few and all have a
// sign; normed says that the norm of c makes everything homogeneous in each
// case.
func (p *prover) orderedAll(c *evidence.Conjunction, normed bool, depth int) (evidence.Refutation, bool) {
	used, unsigned := p.variables(c)
	if p.quick && !normed && !(&system{ring: p.ring, facts: newFacts(c, p.ring)}).homogeneous() {
		return nil, false
	}
	if p.normed || len(unsigned) > 0 || len(used) < 2 || len(used) > maxOrdered {
		return nil, false
	}
	p.normed = normed
	defer func() { p.normed = false }()
	return p.ordered(c, used, order{}, depth)
}

// equalVariables goes on with a replaced by b.
func (p *prover) equalVariables(c *evidence.Conjunction, vars []int, known order, a, b, depth int) (evidence.Refutation, bool) {
	next := &evidence.Conjunction{Ring: p.ring, Whole: c.Whole}
	for _, cond := range c.Conds {
		next.Conds = append(next.Conds, poly.Condition{P: p.ring.Subst(cond.P, a, p.ring.Var(b)), Rel: cond.Rel})
	}
	var left []int
	for _, v := range vars {
		if v != a {
			left = append(left, v)
		}
	}
	merged := order{}
	for k := range known {
		for i, v := range k {
			if v == a {
				k[i] = b
			}
		}
		merged = merged.with(k[0], k[1])
	}
	then, ok := p.ordered(next, left, merged, depth+1)
	if !ok {
		return nil, false
	}
	return &evidence.Substitution{Cond: len(c.Conds) - 1, Var: a, Value: p.ring.Var(b), Then: then}, true
}
