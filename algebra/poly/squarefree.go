package poly

import "slices"

// Factor is a factor with its multiplicity, at least 1.
type Factor struct {
	Base Poly
	Mult int
}

// SquareFree writes f as Content(f)·Π Base^Mult. The bases are primitive, not
// constant, without repeated factors and pairwise coprime; they are not
// irreducible in general. Multiplicities do not fall along the list; variables
// that divide f are bases of their own. The zero polynomial and constants
// give an empty list.
//
// Source: D. Y. Y. Yun, On square-free decomposition algorithms, SYMSAC 1976
// (from memory), one variable after the other.
func (r *Ring) SquareFree(f Poly) []Factor {
	var out []Factor
	if f.Degree() < 1 {
		return nil
	}
	if f = r.Primitive(f); f.IsZero() {
		return nil
	}
	m := r.monomialContent(f)
	for i := range r.names {
		if e := exponent(m, i); e > 0 {
			out = append(out, Factor{r.Var(i), e})
		}
	}
	f = r.divMonomial(f, m)
	for _, i := range r.Vars(f) {
		c := r.contentIn(f, i)
		p, _ := r.DivExact(f, c)
		out = append(out, r.yun(p, i)...)
		f = c
	}
	slices.SortStableFunc(out, func(a, b Factor) int { return a.Mult - b.Mult })
	return out
}

// yun splits f, which is primitive in variable i, by multiplicity.
func (r *Ring) yun(f Poly, i int) []Factor {
	if r.DegreeIn(f, i) < 1 {
		return nil
	}
	df := r.Derivative(f, i)
	g := r.GCD(f, df)
	if g.Degree() == 0 {
		return []Factor{{r.Primitive(f), 1}}
	}
	var out []Factor
	b, _ := r.DivExact(f, g)
	c, _ := r.DivExact(df, g)
	for mult := 1; b.Degree() > 0 && !r.m.Exhausted(); mult++ {
		d := r.Sub(c, r.Derivative(b, i))
		a := r.GCD(b, d)
		if a.Degree() > 0 {
			out = append(out, Factor{a, mult})
		}
		b, _ = r.DivExact(b, a)
		c, _ = r.DivExact(d, a)
	}
	return out
}
