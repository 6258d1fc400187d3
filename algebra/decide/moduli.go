package decide

import (
	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// moduli uses an equation s² = e² (as the modulus s = |e| brings) to decide
// the conjunction by the cases s = e and s = -e, each with s replaced. In the
// remaining cases s - e and s + e are both not zero, and the equation refutes
// itself.
func moduli(c *evidence.Conjunction, vars []int) found {
	for k, cond := range c.Conds {
		if cond.Rel != poly.Eq {
			continue
		}
		for _, v := range vars {
			if e, ok := squareIn(c.Ring, cond.P, v); ok && !c.IsWhole(v) {
				return splitModulus(c, k, v, e)
			}
		}
	}
	return found{}
}

// mostModuli bounds the moduli that are taken apart before anything else is
// tried, by what the kernel's limit on the depth of cases admits: as most
// combinations of signs exclude each other, the cases grow only as the square
// of the number of moduli of linear forms.
const mostModuli = 19

// onlyModuli reports that all variables but one are moduli, so that the cases
// end in one variable.
func onlyModuli(c *evidence.Conjunction, vars []int) bool {
	if len(vars) > mostModuli+1 {
		return false
	}
	others := 0
	for _, v := range vars {
		if others > 1 {
			return false
		}
		modulus := false
		for _, cond := range c.Conds {
			if cond.Rel == poly.Eq && !modulus && !c.IsWhole(v) {
				_, modulus = squareIn(c.Ring, cond.P, v)
			}
		}
		if !modulus {
			others++
		}
	}
	return others == 1
}

// squareIn reports f = k·(v² - e²) for a constant k and an e without v.
func squareIn(r *poly.Ring, f poly.Poly, v int) (e poly.Poly, ok bool) {
	if r.DegreeIn(f, v) != 2 {
		return e, false
	}
	parts := r.Coeffs(f, v)
	if len(parts) != 3 { // the meter ran out
		return e, false
	}
	k, ok := parts[2].IsConst()
	if !ok || !parts[1].IsZero() || parts[0].IsZero() {
		return e, false
	}
	inv, _ := k.Neg().Inv()
	return squareRoot(r, r.Scale(parts[0], inv))
}

// squareRoot is a polynomial whose square is f, if there is one: term by term
// from the leading one.
func squareRoot(r *poly.Ring, f poly.Poly) (poly.Poly, bool) {
	var root poly.Poly
	exps, lead := r.Lead(f)
	half := make([]int, r.Len())
	for i, e := range exps {
		if e%2 != 0 {
			return root, false
		}
		half[i] = int(e) / 2
	}
	c, ok := lead.Sqrt()
	if !ok {
		return root, false
	}
	root = r.Monomial(c, half)
	twice, _ := c.Add(c).Inv()
	for rest := r.Sub(f, r.Square(root)); !rest.IsZero(); rest = r.Sub(f, r.Square(root)) {
		if root.Len() > f.Len() || r.Meter().Exhausted() {
			return root, false
		}
		exps, lead := r.Lead(rest)
		next := make([]int, r.Len())
		for i, e := range exps {
			if next[i] = int(e) - half[i]; next[i] < 0 {
				return root, false
			}
		}
		root = r.Add(root, r.Monomial(lead.Mul(twice), next))
	}
	return root, true
}

func splitModulus(c *evidence.Conjunction, k, v int, e poly.Poly) found {
	ring := c.Ring
	var then [2]evidence.Refutation
	for i, value := range []poly.Poly{e, ring.Neg(e)} {
		// The case s - value = 0 is the last condition of its conjunction.
		part := c.With(poly.Condition{P: ring.Sub(ring.Var(v), value), Rel: poly.Eq})
		f := substituteBy(part, evidence.Substitution{Cond: len(c.Conds), Var: v, Value: value})
		if f.point != nil {
			return f
		}
		if f.refutation == nil {
			return found{}
		}
		then[i] = f.refutation
	}
	minus, plus := ring.Sub(ring.Var(v), e), ring.Add(ring.Var(v), e)
	a, b := len(c.Conds), len(c.Conds)+1 // where the cases' conditions stand
	one := number.Int(1)
	// c.Conds[k].P = factor·(s - e)(s + e)
	parts := ring.Coeffs(c.Conds[k].P, v)
	if len(parts) != 3 { // the meter ran out
		return found{}
	}
	factor, _ := parts[2].IsConst()
	inverse, _ := factor.Inv()
	nonzero := func(minusPositive, plusPositive bool) evidence.Refutation {
		// The product of the two, each turned positive, is ±(s - e)(s + e) = 0.
		by := inverse
		if minusPositive == plusPositive {
			by = by.Neg()
		}
		return &evidence.Combination{
			Terms:     []evidence.Term{{Coef: one, Root: ring.Int(1), Factors: []int{a, b}}},
			Multiples: []evidence.Multiple{{Cond: k, By: ring.Const(by)}},
		}
	}
	side := func(minusPositive bool) evidence.Refutation {
		// In this case the condition s + e = 0 stands one place later than in
		// the conjunction that then[1] refutes.
		return &evidence.Cases{
			P: plus, Neg: nonzero(minusPositive, false),
			Zero: remap(then[1], identity(len(c.Conds), b), len(c.Conds)+2),
			Pos:  nonzero(minusPositive, true),
		}
	}
	var below evidence.Refutation
	if h := notNegative(c, v); h >= 0 {
		// s < e with s >= 0 refutes itself: (e - s)² + 2·s·(e - s) = e² - s². So
		// the proof of the second case is needed once only, and proofs for many
		// moduli do not double with each.
		below = &evidence.Combination{
			Terms: []evidence.Term{
				{Coef: one, Root: ring.Int(1), Factors: []int{a, a}},
				{Coef: number.Int(2), Root: ring.Int(1), Factors: []int{a, h}},
			},
			Multiples: []evidence.Multiple{{Cond: k, By: ring.Const(inverse)}},
		}
	} else {
		below = side(false)
	}
	return found{refutation: &evidence.Cases{P: minus, Neg: below, Zero: then[0], Pos: side(true)}}
}

// notNegative is the place of a condition v >= 0, -1 if there is none.
func notNegative(c *evidence.Conjunction, v int) int {
	for i, cond := range c.Conds {
		if cond.Rel == poly.Ge && c.Ring.Equal(cond.P, c.Ring.Var(v)) {
			return i
		}
	}
	return -1
}

// identity maps conditions 0..n-1 to themselves and condition n to last.
func identity(n, last int) []int {
	to := make([]int, n+1)
	for i := range n {
		to[i] = i
	}
	to[n] = last
	return to
}
