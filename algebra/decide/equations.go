package decide

import (
	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// substitute uses an equation that gives one variable as a polynomial in the
// others (a + b = 1, s² = x, a given) to decide the conjunction with that
// variable replaced. It takes the equation and variable whose value has the
// fewest terms.
func substitute(c *evidence.Conjunction, vars []int) found {
	ring := c.Ring
	best := evidence.Substitution{Cond: -1}
	for k, cond := range c.Conds {
		if cond.Rel != poly.Eq {
			continue
		}
		for _, v := range vars {
			value, ok := solvedFor(ring, cond.P, v)
			// An integer variable may only be replaced by a value that is an
			// integer wherever the rest is, or points would get lost.
			if !ok || c.IsWhole(v) && !wholeValued(c, value) {
				continue
			}
			if best.Cond < 0 || value.Len() < best.Value.Len() {
				best = evidence.Substitution{Cond: k, Var: v, Value: value}
			}
		}
	}
	if best.Cond < 0 {
		return found{}
	}
	return substituteBy(c, best)
}

// substituteBy decides c with the variable replaced as sub says; sub.Then is
// filled in.
func substituteBy(c *evidence.Conjunction, sub evidence.Substitution) found {
	ring := c.Ring
	next := &evidence.Conjunction{Ring: ring, Whole: c.Whole, Conds: make([]poly.Condition, len(c.Conds))}
	for i, cond := range c.Conds {
		next.Conds[i] = poly.Condition{P: ring.Subst(cond.P, sub.Var, sub.Value), Rel: cond.Rel}
	}
	f := search(next)
	switch {
	case f.refutation != nil:
		sub.Then = f.refutation
		return found{refutation: &sub}
	case f.point != nil:
		point := append(evidence.Point(nil), f.point...)
		point[sub.Var] = ring.EvalAll(sub.Value, point)
		return found{point: point}
	}
	return found{}
}

// solvedFor is the value of variable v that f = 0 gives, when f is linear in
// v with a constant factor.
func solvedFor(r *poly.Ring, f poly.Poly, v int) (poly.Poly, bool) {
	if r.DegreeIn(f, v) != 1 {
		return poly.Poly{}, false
	}
	parts := r.Coeffs(f, v)
	if len(parts) != 2 { // the meter ran out
		return poly.Poly{}, false
	}
	factor, ok := parts[1].IsConst()
	if !ok {
		return poly.Poly{}, false
	}
	inv, ok := factor.Neg().Inv()
	return r.Scale(parts[0], inv), ok
}

// wholeValued reports that f has integer coefficients and integer variables.
func wholeValued(c *evidence.Conjunction, f poly.Poly) bool {
	for _, v := range c.Ring.Vars(f) {
		if !c.IsWhole(v) {
			return false
		}
	}
	whole := true
	c.Ring.Each(f, func(_ []uint8, k number.Num) bool {
		whole = k.IsInteger()
		return whole
	})
	return whole
}
