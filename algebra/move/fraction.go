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
	for _, rule := range s.rules {
		f = formula.Fraction{Num: s.Ring.Subst(f.Num, rule.root, rule.by), Den: s.Ring.Subst(f.Den, rule.root, rule.by)}
	}
	for k := len(s.Symbols) - 1; k >= 0; k-- {
		y := s.Symbols[k]
		num, over := s.foldPowers(f.Num, y)
		den, under := s.foldPowers(f.Den, y)
		f = formula.Fraction{Num: s.Ring.Mul(num, under), Den: s.Ring.Mul(den, over)}
	}
	return f
}

// foldPowers writes f without powers of a root symbol beyond its order, as a
// polynomial over a power of the denominator under the root.
func (s *Setting) foldPowers(f poly.Poly, y formula.Symbol) (num, den poly.Poly) {
	r := s.Ring
	degree := r.DegreeIn(f, y.Var)
	if degree < y.Power {
		return f, r.Int(1)
	}
	cs := r.Coeffs(f, y.Var)
	if len(cs) != degree+1 {
		return f, r.Int(1) // the meter has run out
	}
	most := degree / y.Power
	out := make([]poly.Poly, y.Power)
	for j, c := range cs {
		k := j / y.Power
		c = r.Mul(c, r.Mul(r.Pow(y.Of.Num, k), r.Pow(y.Of.Den, most-k)))
		out[j%y.Power] = r.Add(out[j%y.Power], c)
	}
	return r.FromCoeffs(y.Var, out), r.Pow(y.Of.Den, most)
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
