package squares

import (
	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// norm is an equation form = value with a homogeneous form and a number that
// is not zero, the only equation of a conjunction: a + b + c = 3.
type norm struct {
	form   poly.Poly
	degree int
	value  number.Num
}

// normOf finds the norm of c, if its conditions become homogeneous by it.
func normOf(c *evidence.Conjunction, r *poly.Ring) (n norm, ok bool) {
	found := false
	for _, cond := range c.Conds {
		if cond.Rel != poly.Eq || cond.P.IsZero() {
			continue
		}
		if found {
			return n, false
		}
		found = true
		n.value = r.Coef(cond.P, nil).Neg()
		n.form = r.Add(cond.P, r.Const(n.value))
		if ok, n.degree = r.Homogeneous(n.form); !ok || n.value.IsZero() || n.degree < 1 {
			return n, false
		}
	}
	if !found {
		return n, false
	}
	for _, cond := range c.Conds {
		if cond.Rel == poly.Eq {
			continue
		}
		if _, ok := n.raise(r, cond.P); !ok {
			return n, false
		}
	}
	return n, true
}

// raise multiplies the terms of p by powers of form/value, which is 1, so that
// all get the degree of p.
func (n norm) raise(r *poly.Ring, p poly.Poly) (poly.Poly, bool) {
	inv, ok := n.value.Inv()
	if !ok {
		return p, false
	}
	top := p.Degree()
	layers := map[int]poly.Poly{}
	r.Each(p, func(exps []uint8, c number.Num) bool {
		d := 0
		powers := make([]int, len(exps))
		for i, e := range exps {
			powers[i] = int(e)
			d += int(e)
		}
		if (top-d)%n.degree != 0 {
			ok = false
			return false
		}
		k := (top - d) / n.degree
		layers[k] = r.Add(layers[k], r.Monomial(c, powers))
		return true
	})
	if !ok {
		return p, false
	}
	one := r.Scale(n.form, inv)
	var sum poly.Poly
	for k := 0; k <= top; k++ {
		if l, ok := layers[k]; ok {
			sum = r.Add(sum, r.Mul(l, r.Pow(one, k)))
		}
	}
	return sum, !r.Meter().Exhausted()
}
