package evidence

import (
	"math/big"

	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// Tighten rounds the conditions that concern integer variables only: with
// q an expression of integer value, g·q + c > 0 says the same as
// q ≥ ⌊-c/g⌋ + 1, and g·q + c = 0 with g not dividing c says nothing can be
// (Chvátal and Gomory's rounding). The integer points stay the same; the real
// ones become fewer, so that a real refutation reaches further.
func Tighten(c *Conjunction) *Conjunction {
	if c.Whole == nil {
		return c
	}
	out := &Conjunction{Ring: c.Ring, Whole: c.Whole, Conds: append([]poly.Condition(nil), c.Conds...)}
	for i, cond := range c.Conds {
		out.Conds[i] = tighten(c, cond)
	}
	return out
}

func tighten(c *Conjunction, cond poly.Condition) poly.Condition {
	r := c.Ring
	vars := r.Vars(cond.P)
	if len(vars) == 0 || cond.Rel == poly.Ne {
		return cond
	}
	for _, v := range vars {
		if !c.IsWhole(v) {
			return cond
		}
	}
	// scale·P has integer coefficients; g is the gcd of those that stand before
	// a variable, rest the constant term.
	scale, g := big.NewInt(1), new(big.Int)
	rest := new(big.Rat)
	rational := true
	r.Each(cond.P, func(_ []uint8, k number.Num) bool {
		q, ok := k.Rat()
		if rational = ok; ok {
			lcm := new(big.Int).GCD(nil, nil, scale, q.Denom())
			scale.Mul(scale, new(big.Int).Div(q.Denom(), lcm))
		}
		return ok
	})
	if !rational {
		return cond
	}
	r.Each(cond.P, func(exps []uint8, k number.Num) bool {
		q, _ := k.Rat()
		q = new(big.Rat).Mul(q, new(big.Rat).SetInt(scale))
		if isOne(exps) {
			rest = q
		} else {
			g.GCD(nil, nil, g, new(big.Int).Abs(q.Num()))
		}
		return true
	})
	factor := new(big.Rat).SetFrac(scale, g)
	// q = (scale·P - rest)/g takes integer values; P Rel 0 says q Rel bound.
	bound := number.FromRat(new(big.Rat).Neg(new(big.Rat).Quo(rest, new(big.Rat).SetInt(g))))
	q := r.Sub(r.Scale(cond.P, number.FromRat(factor)), r.Const(bound.Neg()))
	one := big.NewInt(1)
	switch cond.Rel {
	case poly.Eq:
		if !bound.IsInteger() {
			return poly.Condition{P: r.Const(number.Int(1)), Rel: poly.Eq}
		}
		return cond
	case poly.Gt:
		return poly.Condition{P: r.Sub(q, r.Const(number.FromBigInt(one.Add(one, bound.Floor())))), Rel: poly.Ge}
	case poly.Ge:
		return poly.Condition{P: r.Sub(q, r.Const(number.FromBigInt(bound.Ceil()))), Rel: poly.Ge}
	case poly.Lt:
		return poly.Condition{P: r.Sub(q, r.Const(number.FromBigInt(one.Sub(bound.Ceil(), one)))), Rel: poly.Le}
	default: // Le
		return poly.Condition{P: r.Sub(q, r.Const(number.FromBigInt(bound.Floor()))), Rel: poly.Le}
	}
}

func isOne(exps []uint8) bool {
	for _, e := range exps {
		if e != 0 {
			return false
		}
	}
	return true
}
