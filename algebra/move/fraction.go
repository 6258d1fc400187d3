package move

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// minus is a - b over a common denominator.
func (s *Setting) minus(a, b formula.Fraction) formula.Fraction {
	r := s.Ring
	if r.Equal(a.Den, b.Den) {
		return formula.Fraction{Num: r.Sub(a.Num, b.Num), Den: a.Den}
	}
	if q, ok := r.DivExact(a.Den, b.Den); ok {
		return formula.Fraction{Num: r.Sub(a.Num, r.Mul(b.Num, q)), Den: a.Den}
	}
	if q, ok := r.DivExact(b.Den, a.Den); ok {
		return formula.Fraction{Num: r.Sub(r.Mul(a.Num, q), b.Num), Den: b.Den}
	}
	return formula.Fraction{Num: r.Sub(r.Mul(a.Num, b.Den), r.Mul(b.Num, a.Den)), Den: r.Mul(a.Den, b.Den)}
}

func (s *Setting) times(a, b formula.Fraction) formula.Fraction {
	return s.fold(formula.Fraction{Num: s.Ring.Mul(a.Num, b.Num), Den: s.Ring.Mul(a.Den, b.Den)})
}

// fold replaces powers of root symbols by what they stand for: (√a)² by a.
func (s *Setting) fold(f formula.Fraction) formula.Fraction {
	if len(s.Symbols) == 0 {
		return f
	}
	return formula.Fraction{Num: s.foldPoly(f.Num), Den: s.foldPoly(f.Den)}
}

func (s *Setting) foldPoly(f poly.Poly) poly.Poly {
	r := s.Ring
	for k := len(s.Symbols) - 1; k >= 0; k-- {
		y := s.Symbols[k]
		d, ok := y.Of.Den.IsConst()
		if !ok || r.DegreeIn(f, y.Var) < y.Power {
			continue
		}
		inv, ok := d.Inv()
		if !ok {
			continue
		}
		of := r.Scale(y.Of.Num, inv)
		cs := r.Coeffs(f, y.Var)
		for j := len(cs) - 1; j >= y.Power; j-- {
			cs[j-y.Power] = r.Add(cs[j-y.Power], r.Mul(cs[j], of))
		}
		f = r.FromCoeffs(y.Var, cs[:y.Power])
	}
	return f
}

// constant is the number that a fraction is, if it is one.
func constant(f formula.Fraction) (number.Num, bool) {
	a, okA := f.Num.IsConst()
	b, okB := f.Den.IsConst()
	if !okA || !okB {
		return number.Num{}, false
	}
	return a.Div(b)
}

// polynomial is the polynomial that a fraction is, if its denominator is a
// number.
func (s *Setting) polynomial(f formula.Fraction) (poly.Poly, bool) {
	d, ok := f.Den.IsConst()
	if !ok {
		return poly.Poly{}, false
	}
	if d.IsOne() {
		return f.Num, true
	}
	inv, ok := d.Inv()
	return s.Ring.Scale(f.Num, inv), ok
}

// same reports equal fractions.
func (s *Setting) same(a, b formula.Fraction) bool {
	if s.Ring.Equal(a.Den, b.Den) {
		return s.Ring.Equal(a.Num, b.Num)
	}
	return s.Ring.Equal(s.Ring.Mul(a.Num, b.Den), s.Ring.Mul(b.Num, a.Den))
}

// ratio is the number c with f = c·g. Both zero: 1.
func (s *Setting) ratio(f, g poly.Poly) (number.Num, bool) {
	if f.Len() != g.Len() {
		return number.Num{}, false
	}
	if f.IsZero() {
		return number.Int(1), true
	}
	c, ok := f.LeadCoef().Div(g.LeadCoef())
	if !ok {
		return c, false
	}
	if c.IsOne() {
		return c, s.Ring.Equal(f, g)
	}
	return c, s.Ring.Equal(f, s.Ring.Scale(g, c))
}

// proportional is the number c with a = c·b.
func (s *Setting) proportional(a, b formula.Fraction) (number.Num, bool) {
	if s.Ring.Equal(a.Den, b.Den) {
		return s.ratio(a.Num, b.Num)
	}
	return s.ratio(s.Ring.Mul(a.Num, b.Den), s.Ring.Mul(b.Num, a.Den))
}
