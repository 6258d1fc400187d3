package poly

import (
	"squaremark/algebra/budget"
	"squaremark/algebra/poly/internal/prime"
)

// gcdDegreeBound is an upper bound for the power of variable i in the greatest
// common divisor of f and g: the degree of the common divisor of their images
// when the other variables get fixed values modulo a prime. false when a
// leading coefficient vanishes there, so that nothing is known. Domain:
// integer coefficients.
//
// Source: W. S. Brown, On Euclid's algorithm and the computation of
// polynomial greatest common divisors, J. ACM 18 (1971) (from memory).
func (r *Ring) gcdDegreeBound(f, g Poly, i int) (int, bool) {
	if !r.pay((f.Len() + g.Len()) * budget.CostEvaluate) {
		return 0, false
	}
	a, ok1 := r.image(f, i)
	b, ok2 := r.image(g, i)
	if !ok1 || !ok2 {
		return 0, false
	}
	return prime.GCDDegree(a, b), true
}

// image is f modulo the prime as a polynomial in variable i.
func (r *Ring) image(f Poly, i int) ([]uint64, bool) {
	out := make([]uint64, r.DegreeIn(f, i)+1)
	for k, c := range f.coefs {
		y, ok := prime.Of(c)
		if !ok {
			return nil, false
		}
		m := r.at(f, k)
		for j := range r.names {
			if e := exponent(m, j); e > 0 && j != i {
				y = prime.Mul(y, powMod(sample(j), e))
			}
		}
		e := exponent(m, i)
		out[e] = prime.Add(out[e], y)
	}
	return out, len(out) > 0 && out[len(out)-1] != 0
}

// sample is the value of variable j, any number that looks like no other.
func sample(j int) uint64 { return uint64(j+1) * 0x9e3779b97f4a7c15 % prime.P }

func powMod(b uint64, e int) uint64 {
	p := uint64(1)
	for ; e > 0; e >>= 1 {
		if e&1 == 1 {
			p = prime.Mul(p, b)
		}
		b = prime.Mul(b, b)
	}
	return p
}
