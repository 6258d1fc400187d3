package poly

import (
	"slices"

	"squaremark/algebra/poly/uni"
)

// GCD is the greatest common divisor, made primitive as Primitive does;
// GCD(0, 0) = 0. Exact for all coefficients: square roots are coefficients
// like others.
//
// Cost: cheap for coprime polynomials with rational coefficients, which a
// prime image shows; otherwise remainder sequences in one variable over the
// others, which the meter bounds.
func (r *Ring) GCD(f, g Poly) Poly {
	f, g = r.Primitive(f), r.Primitive(g)
	switch {
	case f.IsZero():
		return g
	case g.IsZero() || r.Equal(f, g):
		return f
	case f.Degree() == 0 || g.Degree() == 0:
		return r.Int(1)
	}
	mf, mg := r.monomialContent(f), r.monomialContent(g)
	h := r.gcdNoMonomial(r.divMonomial(f, mf), r.divMonomial(g, mg))
	for i := range r.names {
		h = r.mulPower(h, i, min(exponent(mf, i), exponent(mg, i)))
	}
	return r.Primitive(h)
}

// gcdNoMonomial is GCD for primitive polynomials that no variable divides.
func (r *Ring) gcdNoMonomial(f, g Poly) Poly {
	if r.m.Exhausted() {
		return r.Int(1)
	}
	if f.Len() < g.Len() {
		f, g = g, f
	}
	if g.Degree() == 0 {
		return r.Int(1)
	}
	if _, ok := r.DivExact(f, g); ok {
		return g
	}
	fv, gv := r.Vars(f), r.Vars(g)
	for _, i := range fv {
		if !slices.Contains(gv, i) {
			return r.GCD(r.contentIn(f, i), g)
		}
	}
	for _, i := range gv {
		if !slices.Contains(fv, i) {
			return r.GCD(f, r.contentIn(g, i))
		}
	}
	free := r.freeVariables(f, g, fv)
	switch {
	case len(free) == len(fv):
		return r.Int(1)
	case len(free) > 0:
		i := free[0]
		return r.GCD(r.contentIn(f, i), r.contentIn(g, i))
	case len(fv) == 1:
		a, _ := r.ToUni(f, fv[0])
		b, _ := r.ToUni(g, fv[0])
		return r.FromUni(uni.GCD(a, b, r.m), fv[0])
	}
	return r.gcdIn(f, g, r.lowest(f, g, fv))
}

// lowest is the variable of lowest degree, for the remainder sequence.
func (r *Ring) lowest(f, g Poly, vars []int) int {
	return slices.MinFunc(vars, func(i, j int) int {
		return r.DegreeIn(f, i) + r.DegreeIn(g, i) - r.DegreeIn(f, j) - r.DegreeIn(g, j)
	})
}

// gcdIn takes the contents out and runs the remainder sequence in variable i.
func (r *Ring) gcdIn(f, g Poly, i int) Poly {
	cf, cg := r.contentIn(f, i), r.contentIn(g, i)
	pf, _ := r.DivExact(f, cf)
	pg, _ := r.DivExact(g, cg)
	h := r.lastRemainder(pf, pg, i)
	if h.IsZero() {
		return r.Int(1)
	}
	h, _ = r.DivExact(h, r.contentIn(h, i))
	return r.Mul(r.GCD(cf, cg), h)
}

// lastRemainder is the last remainder of the subresultant sequence that is
// not 0, 1 when it is free of variable i. Source: H. Cohen, A Course in
// Computational Algebraic Number Theory, algorithm 3.3.1.
func (r *Ring) lastRemainder(f, g Poly, i int) Poly {
	a, b := r.Coeffs(f, i), r.Coeffs(g, i)
	if len(a) < len(b) {
		a, b = b, a
	}
	s := newSubresultants(r)
	for !r.m.Exhausted() && len(b) > 0 {
		rest := r.pseudoRem(a, b)
		if len(rest) == 0 {
			return r.FromCoeffs(i, b)
		}
		if len(rest) == 1 {
			break
		}
		a, b = b, s.next(a, b, rest)
	}
	return r.Int(1)
}
