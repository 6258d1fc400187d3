package move

import (
	"strings"

	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
)

// ConditionText names a condition for people, in its simplest form: squares
// among the factors are left out, the leading coefficient is positive.
func (s *Setting) ConditionText(c poly.Condition) string {
	r := s.Ring
	rest, even := r.Int(1), r.Int(1)
	for _, f := range r.SquareFree(c.P) {
		if f.Mult%2 == 1 || c.Rel == poly.Ne || c.Rel == poly.Eq {
			rest = r.Mul(rest, f.Base)
		} else {
			even = r.Mul(even, f.Base)
		}
	}
	rel := c.Rel
	if rest.Degree() < 1 {
		rest = even
		if rel == poly.Gt || rel == poly.Lt {
			rel = poly.Ne
		}
	} else if lead := c.P.LeadCoef().Sign(); lead < 0 {
		rel = rel.Flip()
	}
	rest = r.Primitive(rest)
	if rest.LeadCoef().Sign() < 0 {
		rest = r.Neg(rest)
	}
	return s.polyText(rest) + " " + rel.String() + " 0"
}

// Implied reports that the i-th of several conditions goes without saying
// beside the others: q ≠ 0 or q ≥ 0 beside a strict condition on a multiple of
// q, or on q itself.
func (s *Setting) Implied(list []poly.Condition, i int) bool {
	c := list[i]
	for k, d := range list {
		if k == i || d.Rel != poly.Gt && d.Rel != poly.Lt && (d.Rel != poly.Ne || c.Rel != poly.Ne || k > i) {
			continue
		}
		if c.Rel == poly.Ne {
			if _, ok := s.Ring.DivExact(d.P, c.P); ok && (d.Rel != poly.Ne || d.P.Degree() > c.P.Degree()) {
				return true
			}
		}
		if r, ok := s.ratio(d.P, c.P); ok && c.Rel == poly.Ge && r.Sign() > 0 == (d.Rel == poly.Gt) {
			return true
		}
	}
	return false
}

// polyText prints a polynomial with roots as they were written.
func (s *Setting) polyText(f poly.Poly) string {
	text := s.Ring.String(f)
	for _, y := range s.Symbols {
		text = strings.ReplaceAll(text, s.Ring.Name(y.Var), s.Name(y.Var))
	}
	return s.spelled(text)
}

// IdentityText states the identity on which a rewriting rests.
func (p *Pair) IdentityText() (string, bool) {
	r, c := p.rewriting()
	if !r.reversible() {
		return "", false
	}
	b := p.To.Atom
	text := p.fractionText(b.Diff)
	if c.IsOne() {
		return "the difference of the two sides is " + text + " in both lines", true
	}
	return "the difference of the two sides is " + text + " here, and before that times " + c.String(), true
}

func (s *Setting) fractionText(f formula.Fraction) string {
	if p, ok := s.polynomial(f); ok {
		return s.polyText(p)
	}
	return "(" + s.polyText(f.Num) + ")/(" + s.polyText(f.Den) + ")"
}

// Minus is the difference of two fractions.
func (s *Setting) Minus(a, b formula.Fraction) formula.Fraction { return s.minus(a, b) }
