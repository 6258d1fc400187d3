package series

import (
	"squaremark/algebra/decide"
	"squaremark/algebra/evidence"
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// lateSteps is how much later than From the step of an induction may begin.
const lateSteps = 5

// induction proves a condition from n to n + 1. With the condition P Rel 0 at
// n and Q Rel 0 at n + 1, where A·Q = B·P + D for positive A and B, the step is
// D ≥ 0. A and B are the coefficients, or their negatives, of one atom in P
// and Q. The first n is left to the caller.
func (s *prover) induction(goal, next *formula.Formula) bool {
	if next == nil || next.Op != formula.Is || next.Cond.Rel != goal.Cond.Rel {
		return false
	}
	r := s.Scope.Ring
	p, q := goal.Cond.P, next.Cond.P
	a, b := r.Const(number.Int(1)), r.Const(number.Int(1))
	for _, v := range r.Vars(p) {
		if s.Sums.AtomAt(s.Scope, v) < 0 {
			continue
		}
		if r.DegreeIn(p, v) != 1 || r.DegreeIn(q, v) != 1 {
			return false
		}
		a, b = r.Coeffs(p, v)[1], r.Coeffs(q, v)[1]
		if g := r.GCD(a, b); !g.IsZero() {
			a, _ = r.DivExact(a, g)
			b, _ = r.DivExact(b, g)
		}
		break
	}
	d := r.Sub(r.Mul(a, q), r.Mul(b, p))
	rel := goal.Cond.Rel
	if rel == poly.Eq && !d.IsZero() || rel == poly.Ne {
		return false
	}
	for late := int64(0); late <= lateSteps; late++ {
		from := s.proof.From + late
		if s.try(func() bool { return s.inductionStep(a, b, d, rel, from) }) {
			s.proof.From = max(s.proof.From, from+1)
			return true
		}
	}
	return false
}

// inductionStep decides that, for n ≥ from, both a and b are positive or both
// are negative, and d has the sign that carries the condition on.
func (s *prover) inductionStep(a, b, d poly.Poly, rel poly.Rel, from int64) bool {
	r := s.Scope.Ring
	scope := s.bounded(workEnd)
	given := formula.And(s.Given, s.Sums.AtLeast(scope, from))
	always := func(p poly.Poly, rel poly.Rel) bool {
		answer := decide.Always(scope, given, formula.Condition(poly.Condition{P: p, Rel: rel}))
		if answer.Verdict == evidence.Holds {
			s.record(answer)
		}
		return answer.Verdict == evidence.Holds
	}
	if !always(a, poly.Gt) {
		a, b, d = r.Neg(a), r.Neg(b), r.Neg(d)
		if !always(a, poly.Gt) {
			return false
		}
	}
	if !always(b, poly.Gt) {
		return false
	}
	step := map[poly.Rel]poly.Rel{poly.Ge: poly.Ge, poly.Gt: poly.Ge, poly.Le: poly.Le, poly.Lt: poly.Le, poly.Eq: poly.Eq}[rel]
	if !d.IsZero() && !always(d, step) {
		return false
	}
	s.step("from n to n + 1, for n >= %d: (%s)*(the difference at n + 1) = (%s)*(the difference at n) + %s", from, r.String(a), r.String(b), r.String(d))
	return true
}
