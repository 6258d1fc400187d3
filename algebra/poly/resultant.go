package poly

import "squaremark/algebra/number"

// subresultants keeps the two divisors by which the remainders of a sequence
// are always divisible.
type subresultants struct {
	r    *Ring
	g, h Poly
}

func newSubresultants(r *Ring) *subresultants {
	return &subresultants{r: r, g: r.Int(1), h: r.Int(1)}
}

// next divides the pseudo-remainder rest of a by b and steps on.
func (s *subresultants) next(a, b, rest []Poly) []Poly {
	r, delta := s.r, len(a)-len(b)
	by := r.Mul(s.g, r.Pow(s.h, delta))
	out := make([]Poly, len(rest))
	for k, c := range rest {
		out[k], _ = r.DivExact(c, by)
	}
	s.g = b[len(b)-1]
	s.h = s.raise(s.g, delta)
	return trimTop(out)
}

// raise is h^(1−k)·g^k, which is a polynomial.
func (s *subresultants) raise(g Poly, k int) Poly {
	switch k {
	case 0:
		return s.h
	case 1:
		return g
	}
	q, _ := s.r.DivExact(s.r.Pow(g, k), s.r.Pow(s.h, k-1))
	return q
}

// trimTop drops leading zeros.
func trimTop(a []Poly) []Poly {
	for len(a) > 0 && a[len(a)-1].IsZero() {
		a = a[:len(a)-1]
	}
	return a
}

// PseudoRem is the remainder of l^k·f by g as polynomials in variable i,
// where l is the leading coefficient of g and k = deg f − deg g + 1; f itself
// when its degree is lower. Domain: g ≠ 0; for g = 0 the result is f.
//
// Source: Knuth, The Art of Computer Programming 2, section 4.6.1,
// algorithm R.
func (r *Ring) PseudoRem(f, g Poly, i int) Poly {
	if g.IsZero() {
		return f
	}
	return r.FromCoeffs(i, r.pseudoRem(r.Coeffs(f, i), r.Coeffs(g, i)))
}

// pseudoRem is PseudoRem on coefficient lists, b not empty.
func (r *Ring) pseudoRem(a, b []Poly) []Poly {
	a = trimTop(append([]Poly(nil), a...))
	if len(b) == 0 {
		return a
	}
	lead := b[len(b)-1]
	steps := len(a) - len(b) + 1
	for len(a) >= len(b) && !r.m.Exhausted() {
		at := len(a) - len(b)
		top := a[len(a)-1]
		a = a[:len(a)-1]
		for k := range a {
			a[k] = r.Mul(a[k], lead)
			if k >= at {
				a[k] = r.Sub(a[k], r.Mul(top, b[k-at]))
			}
		}
		a = trimTop(a)
		steps--
	}
	if steps > 0 {
		power := r.Pow(lead, steps)
		for k := range a {
			a[k] = r.Mul(a[k], power)
		}
	}
	return a
}

// Resultant is the resultant of f and g as polynomials in variable i: 0
// exactly when they have a common factor in which the variable occurs. When
// one of them is free of the variable it is that one to the degree of the
// other; when one is 0, it is 0.
//
// Source: H. Cohen, A Course in Computational Algebraic Number Theory,
// algorithm 3.3.7.
func (r *Ring) Resultant(f, g Poly, i int) Poly {
	if f.IsZero() || g.IsZero() {
		return Poly{}
	}
	scale := number.Int(1)
	if f.IsRational() && g.IsRational() {
		scale = r.Content(f).Pow(r.DegreeIn(g, i)).Mul(r.Content(g).Pow(r.DegreeIn(f, i)))
		f, g = r.Primitive(f), r.Primitive(g)
	}
	return r.Scale(r.resultant(r.Coeffs(f, i), r.Coeffs(g, i)), scale)
}

func (r *Ring) resultant(a, b []Poly) Poly {
	negative := false
	if len(a) < len(b) {
		a, b = b, a
		negative = len(a)%2 == 0 && len(b)%2 == 0
	}
	s := newSubresultants(r)
	for len(b) > 1 {
		if len(a)%2 == 0 && len(b)%2 == 0 { // both degrees odd
			negative = !negative
		}
		rest := r.pseudoRem(a, b)
		if len(rest) == 0 || r.m.Exhausted() {
			return Poly{}
		}
		a, b = b, s.next(a, b, rest)
	}
	if len(b) == 0 {
		return Poly{}
	}
	out := s.raise(b[0], len(a)-1)
	if negative {
		return r.Neg(out)
	}
	return out
}

// Discriminant is (−1)^(n(n−1)/2)·Res(f, f')/l for f of degree n and leading
// coefficient l in variable i: b² − 4ac for a·v² + b·v + c. For n < 1 it is 0,
// for n = 1 it is 1.
func (r *Ring) Discriminant(f Poly, i int) Poly {
	n := r.DegreeIn(f, i)
	if n < 1 {
		return Poly{}
	}
	cs := r.Coeffs(f, i)
	if len(cs) == 0 {
		return Poly{}
	}
	d, _ := r.DivExact(r.Resultant(f, r.Derivative(f, i), i), cs[n])
	if n*(n-1)/2%2 == 1 {
		return r.Neg(d)
	}
	return d
}
