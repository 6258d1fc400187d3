package poly

import (
	"slices"

	"squaremark/algebra/budget"
	"squaremark/algebra/number"
)

// Each calls visit for every term, leading term first, until it returns
// false. The exponents are one for each variable, in a slice that is used
// again for the next term.
func (r *Ring) Each(f Poly, visit func(exps []uint8, c number.Num) bool) {
	exps := make([]uint8, r.Len())
	for k, c := range f.coefs {
		r.exponents(exps, r.at(f, k))
		if !visit(exps, c) {
			return
		}
	}
}

func (r *Ring) exponents(exps []uint8, m []uint64) {
	for i := range exps {
		w, s := place(i)
		exps[i] = uint8(m[w] >> s)
	}
}

// Lead is the exponents and the coefficient of the first term; nil and 0 for
// the zero polynomial.
func (r *Ring) Lead(f Poly) ([]uint8, number.Num) {
	if f.IsZero() {
		return nil, number.Num{}
	}
	exps := make([]uint8, r.Len())
	r.exponents(exps, r.at(f, 0))
	return exps, f.coefs[0]
}

// Coef is the coefficient of the product of the variables to the powers exps,
// 0 when there is no such term; missing powers are 0.
func (r *Ring) Coef(f Poly, exps []int) number.Num {
	m := make([]uint64, r.stride)
	total := 0
	for i, e := range exps {
		if total += e; e < 0 || total > maxDegree || i >= r.Len() {
			return number.Num{}
		}
		shiftExponent(m, i, e)
	}
	lo, hi := 0, f.Len()
	for lo < hi {
		mid := (lo + hi) / 2
		switch compare(r.at(f, mid), m) {
		case 0:
			return f.coefs[mid]
		case 1:
			lo = mid + 1
		default:
			hi = mid
		}
	}
	return number.Num{}
}

// DegreeIn is the highest power of variable i, −1 for the zero polynomial.
func (r *Ring) DegreeIn(f Poly, i int) int {
	d := -1
	for k := range f.coefs {
		d = max(d, exponent(r.at(f, k), i))
	}
	return d
}

// Vars lists the variables that occur in f, rising.
func (r *Ring) Vars(f Poly) []int {
	seen := make([]uint64, r.stride)
	for k := range f.coefs {
		for w, x := range r.at(f, k) {
			seen[w] |= x
		}
	}
	var vars []int
	for i := range r.names {
		if exponent(seen, i) > 0 {
			vars = append(vars, i)
		}
	}
	return vars
}

// Homogeneous reports that all terms have one total degree, and that degree;
// the zero polynomial is homogeneous of degree −1.
func (r *Ring) Homogeneous(f Poly) (bool, int) {
	d := f.Degree()
	return f.IsZero() || int(f.mons[len(f.mons)-r.stride]>>56) == d, d
}

// Coeffs reads f as a polynomial in variable i: element k is the coefficient
// of its power k, in which the variable no longer occurs. The zero polynomial
// gives an empty list.
func (r *Ring) Coeffs(f Poly, i int) []Poly {
	out := make([]Poly, r.DegreeIn(f, i)+1)
	if !r.pay(f.Len() * budget.CostTerm) {
		return out
	}
	for k, c := range f.coefs {
		m := r.at(f, k)
		e := exponent(m, i)
		// Taking the same power off terms in order leaves them in order.
		p := &out[e]
		p.mons = append(p.mons, m...)
		shiftExponent(p.mons[len(p.mons)-r.stride:], i, -e)
		p.coefs = append(p.coefs, c)
	}
	return out
}

// FromCoeffs is Σ cs[k]·v^k for variable i = v.
func (r *Ring) FromCoeffs(i int, cs []Poly) Poly {
	rows := make([]Poly, len(cs))
	for k, c := range cs {
		rows[k] = r.mulPower(c, i, k)
	}
	return r.Sum(rows...)
}

// mulPower is f·v^k for variable i = v.
func (r *Ring) mulPower(f Poly, i, k int) Poly {
	if k == 0 || f.IsZero() {
		return f
	}
	if !r.degreeFits(f.Degree() + k) {
		r.m.Exceed("degree")
		return Poly{}
	}
	if !r.pay(f.Len() * budget.CostTerm) {
		return Poly{}
	}
	out := Poly{slices.Clone(f.mons), f.coefs}
	for j := range out.coefs {
		shiftExponent(r.at(out, j), i, k)
	}
	return out
}

// Derivative is the partial derivative by variable i.
func (r *Ring) Derivative(f Poly, i int) Poly {
	if !r.pay(f.Len() * budget.CostTermMul) {
		return Poly{}
	}
	var out Poly
	for k, c := range f.coefs {
		m := r.at(f, k)
		e := exponent(m, i)
		if e == 0 {
			continue
		}
		out.mons = append(out.mons, m...)
		shiftExponent(out.mons[len(out.mons)-r.stride:], i, -1)
		out.coefs = append(out.coefs, c.Mul(number.Int(int64(e))))
	}
	return r.fit(out)
}

// Map moves f to another ring by the names of its variables; false when a
// variable that occurs in f is missing there.
func (r *Ring) Map(f Poly, to *Ring) (Poly, bool) {
	places := make([]int, r.Len())
	for _, i := range r.Vars(f) {
		j, ok := to.Index(r.names[i])
		if !ok {
			return Poly{}, false
		}
		places[i] = j
	}
	var b bucket
	for k, c := range f.coefs {
		if !to.pay(budget.CostTerm) {
			return Poly{}, true
		}
		m := make([]uint64, to.stride)
		for i, j := range places {
			if e := exponent(r.at(f, k), i); e > 0 {
				shiftExponent(m, j, e)
			}
		}
		b.add(to, Poly{m, []number.Num{c}})
	}
	return to.fit(b.sum(to)), true
}
