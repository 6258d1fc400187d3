package poly

import (
	"squaremark/algebra/budget"
	"squaremark/algebra/number"
)

// Eval puts a number in for variable i.
func (r *Ring) Eval(f Poly, i int, value number.Num) Poly {
	if r.DegreeIn(f, i) < 1 {
		return f
	}
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

// EvalAll is the value of f at a point, one number for each variable. Cost: one
// CostEvaluate for each term, and for each product beyond machine words what
// payWide says.
func (r *Ring) EvalAll(f Poly, point []number.Num) number.Num {
	var room [24]number.Num
	powers := room[:0]
	var placed [16]int
	starts := placed[:0] // where the powers of each variable begin, -1 for none
	for i := range r.Len() {
		d := r.DegreeIn(f, i)
		if d < 1 {
			starts = append(starts, -1)
			continue
		}
		starts = append(starts, len(powers))
		last := number.Int(1)
		powers = append(powers, last)
		for range d {
			if last.Bits() > r.m.Limits.Bits || !r.pay(budget.CostTermMul) || !r.payWide(last, point[i]) {
				r.m.Exceed("bits")
				return number.Num{}
			}
			last = last.Mul(point[i])
			powers = append(powers, last)
		}
	}
	var sum number.Num
	for k, c := range f.coefs {
		if !r.pay(budget.CostEvaluate) {
			return number.Num{}
		}
		m := r.at(f, k)
		for i, start := range starts {
			if start < 0 {
				continue
			}
			if e := exponent(m, i); e > 0 {
				if p := powers[start+e]; r.payWide(c, p) {
					c = c.Mul(p)
				}
			}
		}
		if r.payWide(sum, c) {
			sum = sum.Add(c)
		}
	}
	return sum
}

// payWide spends what a product of a and b costs when one of them is beyond
// machine words, fractions brought to lowest terms.
func (r *Ring) payWide(a, b number.Num) bool {
	if a.Small() && b.Small() {
		return true
	}
	return r.pay(budget.CostBigMul * (2 + a.Bits()/64 + b.Bits()/64))
}

// Subst puts the polynomial g in for variable i. Source: Horner's rule.
func (r *Ring) Subst(f Poly, i int, g Poly) Poly {
	if r.DegreeIn(f, i) < 1 {
		return f
	}
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
