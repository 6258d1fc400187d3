package decide

import (
	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// immediate refutes what an equation decides by itself: a condition whose
// polynomial is a multiple of that of an equation, and so is zero, but should
// not be. It finds identities that hold under one given equation.
func immediate(c *evidence.Conjunction) evidence.Refutation {
	ring, one := c.Ring, number.Int(1)
	for e, equation := range c.Conds {
		if equation.Rel != poly.Eq || equation.P.Degree() < 2 {
			continue
		}
		for k, cond := range c.Conds {
			if cond.Rel.Holds(0) || cond.P.Degree() < equation.P.Degree() {
				continue
			}
			quotient, ok := ring.DivExact(cond.P, equation.P)
			if !ok {
				continue
			}
			term := evidence.Term{Coef: one, Root: ring.Const(one)}
			switch cond.Rel {
			case poly.Ne:
				term.NonZero, quotient = []int{k}, ring.Mul(quotient, ring.Neg(cond.P))
			case poly.Gt:
				term.Factors, quotient = []int{k}, ring.Neg(quotient)
			default:
				term.Factors = []int{k}
			}
			return &evidence.Combination{
				Terms:     []evidence.Term{term},
				Multiples: []evidence.Multiple{{Cond: e, By: quotient}},
			}
		}
	}
	return nil
}

// pinched uses two conditions p >= 0 and p <= 0: only p = 0 is left.
func pinched(c *evidence.Conjunction) found {
	ring := c.Ring
	for i, low := range c.Conds {
		for j, high := range c.Conds {
			if low.Rel != poly.Ge || !opposite(ring, low, high) || zeroGiven(c, low.P) {
				continue
			}
			last := len(c.Conds)
			f := search(c.With(poly.Condition{P: low.P, Rel: poly.Eq}))
			if f.refutation == nil {
				return f
			}
			against := func(k int) evidence.Refutation {
				one := ring.Int(1)
				return &evidence.Combination{Terms: []evidence.Term{
					{Coef: number.Int(1), Root: one, Factors: []int{k}},
					{Coef: number.Int(1), Root: one, Factors: []int{last}},
				}}
			}
			return found{refutation: &evidence.Cases{P: low.P, Neg: against(i), Zero: f.refutation, Pos: against(j)}}
		}
	}
	return found{}
}

// opposite reports that high says that the polynomial of low is at most 0.
func opposite(r *poly.Ring, low, high poly.Condition) bool {
	return high.Rel == poly.Le && r.Equal(high.P, low.P) || high.Rel == poly.Ge && r.Equal(r.Neg(high.P), low.P)
}

func zeroGiven(c *evidence.Conjunction, p poly.Poly) bool {
	for _, cond := range c.Conds {
		if cond.Rel == poly.Eq && (c.Ring.Equal(cond.P, p) || c.Ring.Equal(c.Ring.Neg(cond.P), p)) {
			return true
		}
	}
	return false
}
