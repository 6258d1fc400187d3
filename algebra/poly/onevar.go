package poly

import (
	"squaremark/algebra/budget"
	"squaremark/algebra/number"
	"squaremark/algebra/poly/uni"
)

// ToUni is f as a dense polynomial in variable i; false when another variable
// occurs.
func (r *Ring) ToUni(f Poly, i int) (uni.Uni, bool) {
	out := make(uni.Uni, f.Degree()+1)
	for k, c := range f.coefs {
		m := r.at(f, k)
		e := exponent(m, i)
		if e != int(m[0]>>56) {
			return nil, false
		}
		out[e] = c
	}
	return out, true
}

// FromUni is the dense polynomial f in variable i.
func (r *Ring) FromUni(f uni.Uni, i int) Poly {
	if !r.degreeFits(f.Degree()) {
		r.m.Exceed("degree")
		return Poly{}
	}
	if !r.pay(len(f) * budget.CostTerm) {
		return Poly{}
	}
	var out Poly
	for e := len(f) - 1; e >= 0; e-- {
		if f[e].IsZero() {
			continue
		}
		m := make([]uint64, r.stride)
		shiftExponent(m, i, e)
		out.mons, out.coefs = append(out.mons, m...), append(out.coefs, f[e])
	}
	return r.fit(out)
}

// OnlyVar is the one variable that occurs in f; false for none or several.
func (r *Ring) OnlyVar(f Poly) (int, bool) {
	vars := r.Vars(f)
	if len(vars) != 1 {
		return 0, false
	}
	return vars[0], true
}

// Linear is the coefficients of f = Σ cs[i]·v_i + c0; false when the degree is
// above 1.
func (r *Ring) Linear(f Poly) (cs []number.Num, c0 number.Num, ok bool) {
	if f.Degree() > 1 {
		return nil, c0, false
	}
	cs = make([]number.Num, r.Len())
	for k, c := range f.coefs {
		m := r.at(f, k)
		if m[0]>>56 == 0 {
			c0 = c
			continue
		}
		for i := range cs {
			if exponent(m, i) == 1 {
				cs[i] = c
			}
		}
	}
	return cs, c0, true
}
