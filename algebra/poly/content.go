package poly

import (
	"slices"

	"squaremark/algebra/number"
)

// Content is the number c for which f = c·Primitive(f); it carries the sign
// of the leading coefficient. The zero polynomial has content 0.
func (r *Ring) Content(f Poly) number.Num {
	c, _ := r.split(f)
	return c
}

// Primitive is the one of all multiples of f by numbers that has coprime
// integer coefficients and a positive leading one; when no multiple is
// rational, it is the one with leading coefficient 1. The zero polynomial
// gives itself.
func (r *Ring) Primitive(f Poly) Poly {
	_, p := r.split(f)
	return p
}

// split is the content and the primitive part.
func (r *Ring) split(f Poly) (number.Num, Poly) {
	if f.IsZero() {
		return number.Num{}, f
	}
	lead := f.coefs[0]
	if !f.IsRational() {
		f = r.Scale(f, r.divNum(number.Int(1), lead))
		if f.IsZero() || !f.IsRational() {
			return lead, f
		}
		c, p := r.split(f)
		return lead.Mul(c), p
	}
	var g number.Num
	for k := len(f.coefs) - 1; k >= 0; k-- {
		g = number.GCD(g, f.coefs[k])
	}
	if lead.Sign() < 0 {
		g = g.Neg()
	}
	return g, r.Scale(f, r.divNum(number.Int(1), g))
}

// contentIn is the greatest common divisor of the coefficients of f as a
// polynomial in variable i.
func (r *Ring) contentIn(f Poly, i int) Poly {
	cs := r.Coeffs(f, i)
	cs = slices.DeleteFunc(cs, Poly.IsZero)
	slices.SortFunc(cs, func(a, b Poly) int { return a.Len() - b.Len() })
	var g Poly
	for _, c := range cs {
		if g = r.GCD(g, c); g.Degree() == 0 {
			break
		}
	}
	return g
}

// monomialContent is the product of the variables to the least powers that
// occur in f, which is not zero.
func (r *Ring) monomialContent(f Poly) []uint64 {
	least := make([]uint64, r.stride)
	for _, i := range r.Vars(f) {
		e := maxDegree
		for k := range f.coefs {
			e = min(e, exponent(r.at(f, k), i))
		}
		shiftExponent(least, i, e)
	}
	return least
}

// divMonomial is f/m where m divides every term.
func (r *Ring) divMonomial(f Poly, m []uint64) Poly {
	if m[0] == 0 {
		return f
	}
	out := Poly{make([]uint64, len(f.mons)), f.coefs}
	for k := range f.coefs {
		quotient(r.at(out, k), r.at(f, k), m)
	}
	return out
}
