package move

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// squared says what squaring both sides of from needs in order to give to:
// the difference of to is that of the squares.
//
// From L > R to L² > R² it is enough that R ≥ 0, and back that L ≥ 0; an
// equation can always be squared, and back where both sides have one sign.
func (s *Setting) squared(from, to *Line) (forward, backward Way, ok bool) {
	if from.Shape != Single || to.Shape != Single {
		return
	}
	a, b := from.Atom, to.Atom
	if a.Sign == poly.Ne || a.Sign != b.Sign && !weaker(a.Sign, b.Sign) && !weaker(b.Sign, a.Sign) {
		return
	}
	great, small := a.great(), a.small()
	if max(great.Num.Degree(), great.Den.Degree(), small.Num.Degree(), small.Den.Degree()) > 16 {
		return
	}
	if a.Diff.Num.IsZero() || b.Diff.Num.IsZero() {
		return
	}
	squares := s.fold(s.minus(s.times(great, great), s.times(small, small)))
	c, same := s.proportional(squares, b.Diff)
	if !same || c.Sign() == 0 || c.Sign() < 0 && a.Sign != poly.Eq {
		return
	}
	if weaker(a.Sign, b.Sign) {
		forward = proved
		if a.Sign != poly.Eq {
			forward = s.towards(b, []poly.Condition{s.notNegative(small)}, from)
		}
		forward = forward.both(s.defined(from, b))
	}
	if weaker(b.Sign, a.Sign) {
		needs := []poly.Condition{s.notNegative(great)}
		if a.Sign == poly.Eq {
			needs = append(needs, s.notNegative(small))
		}
		backward = s.towards(a, needs, to)
		if backward.Status == Conditional && a.Sign == poly.Eq {
			opposite := []poly.Condition{s.notPositive(great), s.notPositive(small)}
			backward = backward.better(s.towards(a, opposite, to))
		}
		backward = backward.both(s.defined(to, a))
	}
	return forward, backward, true
}

// notNegative is the condition that a fraction is not negative: that of
// numerator times denominator.
func (s *Setting) notNegative(f formula.Fraction) poly.Condition {
	return poly.Condition{P: s.signPoly(f), Rel: poly.Ge}
}

func (s *Setting) notPositive(f formula.Fraction) poly.Condition {
	return poly.Condition{P: s.signPoly(f), Rel: poly.Le}
}

// signPoly is a polynomial with the sign of a fraction.
func (s *Setting) signPoly(f formula.Fraction) poly.Poly {
	if d, ok := f.Den.IsConst(); ok {
		return s.Ring.Scale(f.Num, number.Int(int64(d.Sign())))
	}
	return s.Ring.Mul(f.Num, f.Den)
}

// squareBothSides squares both sides of a relation. Source: elementary.
var squareBothSides = Move{
	ID: "square-both-sides", Title: "Square both sides", Family: BothSides, Since: "0.1.0", Source: "elementary",
	Text:      "Both sides are squared; an equation may gain solutions.",
	Condition: "for an inequality both sides are not negative; to go back, for an equation too",
	Try: func(p *Pair) Result {
		forward, backward, ok := p.squared(p.From, p.To)
		if !ok {
			return refused(CodeShape)
		}
		return Result{Forward: forward, Backward: backward, Code: CodeUnequal}
	},
}
