package quadratic

import (
	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// maxDoublings bounds the search along a ray: numbers grow by one bit a step.
const maxDoublings = 4096

// below is a point at + t·ray, t = 0, 1, 2, 4, ..., where f is negative.
func below(r *poly.Ring, f poly.Poly, at, ray evidence.Point) (evidence.Point, bool) {
	var t number.Num
	for range maxDoublings {
		p := make(evidence.Point, len(at))
		for i := range p {
			p[i] = at[i].Add(t.Mul(ray[i]))
		}
		if r.EvalAll(f, p).Sign() < 0 {
			return p, r.Meter().Err() == nil
		}
		if r.Meter().Exhausted() {
			return nil, false
		}
		if t.IsZero() {
			t = number.Int(1)
		} else {
			t = t.Add(t)
		}
	}
	return nil, false
}

// maxSimplified bounds the variables for which simplify is worth its cost.
const maxSimplified = 12

// simplify replaces the coordinates of a point where f < 0, one after the
// other, by 0, by ±1 or by an integer beside it, where f stays negative.
func simplify(r *poly.Ring, f poly.Poly, p evidence.Point) evidence.Point {
	vars := r.Vars(f)
	if len(vars) > maxSimplified {
		return p
	}
	for _, v := range vars {
		old := p[v]
		for _, x := range []number.Num{{}, number.Int(1), number.Int(-1), number.FromBigInt(old.Floor()), number.FromBigInt(old.Ceil())} {
			if old.IsInteger() && x.Abs().Cmp(old.Abs()) >= 0 {
				continue
			}
			p[v] = x
			if r.EvalAll(f, p).Sign() < 0 {
				break
			}
			p[v] = old
		}
	}
	return p
}
