package poly

import (
	"squaremark/algebra/budget"
	"squaremark/algebra/poly/internal/prime"
)

// freeVariables lists those of the variables that cannot occur in the
// greatest common divisor of f and g: with the others replaced by fixed values
// modulo a prime, the images have no common factor. A variable for which a
// leading coefficient vanishes there is left out, as nothing is known. Domain:
// integer coefficients; for others the list is empty.
//
// Source: W. S. Brown, On Euclid's algorithm and the computation of
// polynomial greatest common divisors, J. ACM 18 (1971) (from memory).
func (r *Ring) freeVariables(f, g Poly, vars []int) []int {
	if !r.pay((f.Len() + g.Len()) * budget.CostEvaluate * len(vars)) {
		return nil
	}
	a, ok1 := r.values(f, vars)
	b, ok2 := r.values(g, vars)
	if !ok1 || !ok2 {
		return nil
	}
	var free []int
	for _, i := range vars {
		x, ok1 := r.image(f, i, a)
		y, ok2 := r.image(g, i, b)
		if ok1 && ok2 && prime.GCDDegree(x, y) == 0 {
			free = append(free, i)
		}
	}
	return free
}

// values are the terms of f at the sample point.
func (r *Ring) values(f Poly, vars []int) ([]uint64, bool) {
	out := make([]uint64, f.Len())
	for k, c := range f.coefs {
		y, ok := prime.Of(c)
		if !ok {
			return nil, false
		}
		m := r.at(f, k)
		for _, j := range vars {
			if e := exponent(m, j); e > 0 {
				y = prime.Mul(y, powMod(sample(j), e))
			}
		}
		out[k] = y
	}
	return out, true
}

// image adds up the values by powers of variable i: f as a polynomial in a
// multiple of that variable, which has the same common factors.
func (r *Ring) image(f Poly, i int, values []uint64) ([]uint64, bool) {
	out := make([]uint64, r.DegreeIn(f, i)+1)
	for k, y := range values {
		e := exponent(r.at(f, k), i)
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
