package move

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// rootRule replaces a square root by a product of others: √(ab) by √a·√b where
// neither a nor b is negative, √(a²) by a where a is not negative.
type rootRule struct {
	root int // ring index of the symbol
	by   poly.Poly
}

// Relate finds out how the roots in an argument hang together under the
// givens, once all its lines are read, and writes the lines accordingly.
func (s *Setting) Relate(lines ...*Line) {
	for n, y := range s.Symbols {
		if s.ruled(y.Var) {
			continue
		}
		if by, ok := s.productOfRoots(n); ok {
			s.rules = append(s.rules, rootRule{s.Symbols[n].Var, by})
		}
	}
	if len(s.rules) == 0 {
		return
	}
	var again func(l *Line)
	again = func(l *Line) {
		if l.Atom != nil {
			*l.Atom = *s.atom(l.Atom.Left, l.Atom.Right, l.Atom.Rel)
		}
		for _, k := range l.Kids {
			again(k)
		}
	}
	for _, l := range lines {
		again(l)
	}
}

// productOfRoots writes the n-th symbol as a multiple of at most two others
// that are not written by a rule themselves.
func (s *Setting) productOfRoots(n int) (poly.Poly, bool) {
	y := s.Symbols[n]
	if y.Power != 2 || y.Of.Den.Degree() > 0 {
		return poly.Poly{}, false
	}
	var usable []formula.Symbol
	for k, z := range s.Symbols {
		if k != n && z.Power == 2 && z.Of.Den.Degree() == 0 && !s.ruled(z.Var) && s.Ring.DegreeIn(y.Of.Num, z.Var) == 0 {
			usable = append(usable, z)
		}
	}
	if by, ok := s.squareTimes(y); ok {
		return by, true
	}
	for i, z := range usable {
		if by, ok := s.squareTimes(y, z); ok {
			return by, true
		}
		for _, w := range usable[:i] {
			if by, ok := s.squareTimes(y, z, w); ok {
				return by, true
			}
		}
	}
	return poly.Poly{}, false
}

func (s *Setting) ruled(v int) bool {
	for _, r := range s.rules {
		if r.root == v {
			return true
		}
	}
	return false
}

// squareTimes writes √a as t·√b·√c where a = t²·b·c, and t, b and c are not
// negative under the givens.
func (s *Setting) squareTimes(y formula.Symbol, others ...formula.Symbol) (poly.Poly, bool) {
	r := s.Ring
	rest, out := y.Of.Num, r.Int(1)
	scale := y.Of.Den.LeadCoef()
	for _, z := range others {
		q, ok := r.DivExact(rest, z.Of.Num)
		if !ok || z.Of.Num.Degree() < 1 {
			return poly.Poly{}, false
		}
		rest = r.Scale(q, z.Of.Den.LeadCoef())
		out = r.Mul(out, r.Var(z.Var))
		if !s.holds(poly.Condition{P: s.signPoly(z.Of), Rel: poly.Ge}, nil) {
			return poly.Poly{}, false
		}
	}
	inv, ok := scale.Inv()
	if !ok {
		return poly.Poly{}, false
	}
	t, ok := s.rootOf(r.Scale(rest, inv))
	switch {
	case !ok:
		return poly.Poly{}, false
	case s.holds(poly.Condition{P: t, Rel: poly.Ge}, nil):
		return r.Mul(t, out), true
	case s.holds(poly.Condition{P: t, Rel: poly.Le}, nil):
		return r.Mul(r.Neg(t), out), true
	}
	return poly.Poly{}, false
}

// rootOf is a polynomial whose square is f.
func (s *Setting) rootOf(f poly.Poly) (poly.Poly, bool) {
	r := s.Ring
	if f.IsZero() {
		return poly.Poly{}, false
	}
	root := r.Int(1)
	for _, g := range r.SquareFree(f) {
		if g.Mult%2 == 1 {
			return poly.Poly{}, false
		}
		root = r.Mul(root, r.Pow(g.Base, g.Mult/2))
	}
	c, ok := s.ratio(f, r.Square(root))
	if !ok || c.Sign() <= 0 {
		return poly.Poly{}, false
	}
	k, ok := c.Sqrt()
	if !ok {
		return poly.Poly{}, false
	}
	if root.LeadCoef().Sign() < 0 {
		k = k.Neg()
	}
	return r.Scale(root, k), !k.Equal(number.Int(0))
}
