package poly

import (
	"squaremark/algebra/budget"
	"squaremark/algebra/number"
)

// Eval puts a number in for variable i.
func (r *Ring) Eval(f Poly, i int, value number.Num) Poly {
	cs := r.Coeffs(f, i)
	power := number.Int(1)
	for k := range cs {
		if power.Bits() > r.m.Limits.Bits {
			r.m.Exceed("bits")
			return Poly{}
		}
		cs[k] = r.Scale(cs[k], power)
		power = power.Mul(value)
	}
	return r.Sum(cs...)
}

// EvalAll is the value of f at a point, one number for each variable.
func (r *Ring) EvalAll(f Poly, point []number.Num) number.Num {
	powers := make([][]number.Num, r.Len())
	for _, i := range r.Vars(f) {
		powers[i] = []number.Num{number.Int(1)}
		for range r.DegreeIn(f, i) {
			last := powers[i][len(powers[i])-1]
			if last.Bits() > r.m.Limits.Bits || !r.pay(budget.CostTermMul) {
				r.m.Exceed("bits")
				return number.Num{}
			}
			powers[i] = append(powers[i], last.Mul(point[i]))
		}
	}
	var sum number.Num
	for k, c := range f.coefs {
		if !r.pay(budget.CostEvaluate) {
			return number.Num{}
		}
		m := r.at(f, k)
		for i, p := range powers {
			if p == nil {
				continue
			}
			if e := exponent(m, i); e > 0 {
				c = c.Mul(p[e])
			}
		}
		sum = sum.Add(c)
	}
	return sum
}

// Subst puts the polynomial g in for variable i. Source: Horner's rule.
func (r *Ring) Subst(f Poly, i int, g Poly) Poly {
	cs := r.Coeffs(f, i)
	var sum Poly
	for k := len(cs) - 1; k >= 0; k-- {
		sum = r.Add(r.Mul(sum, g), cs[k])
	}
	return sum
}

// SubstFrac puts the fraction num/den in for variable i and clears the
// denominator: the result is den^k times the value, with k the degree of f in
// that variable (0 for the zero polynomial), and k. Domain: what den = 0
// means is the caller's to say.
func (r *Ring) SubstFrac(f Poly, i int, num, den Poly) (Poly, int) {
	cs := r.Coeffs(f, i)
	var sum Poly
	power := r.Int(1)
	for k := len(cs) - 1; k >= 0; k-- {
		sum = r.Add(r.Mul(sum, num), r.Mul(cs[k], power))
		if k > 0 {
			power = r.Mul(power, den)
		}
	}
	return sum, max(len(cs)-1, 0)
}
