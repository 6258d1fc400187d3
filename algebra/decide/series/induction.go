package series

import (
	"squaremark/algebra/decide"
	"squaremark/algebra/evidence"
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// maxStep bounds the terms of what an induction has to decide.
const maxStep = 80

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
	constant := false // the coefficient in P
	for _, v := range r.Vars(p) {
		if s.Sums.AtomAt(s.Scope, v) < 0 {
			continue
		}
		if r.DegreeIn(p, v) != 1 || r.DegreeIn(q, v) != 1 {
			return false
		}
		a, b = r.Coeffs(p, v)[1], r.Coeffs(q, v)[1]
		_, constant = a.IsConst()
		if g := r.GCD(a, b); !g.IsZero() {
			a, _ = r.DivExact(a, g)
			b, _ = r.DivExact(b, g)
		}
		break
	}
	d := r.Sub(r.Mul(a, q), r.Mul(b, p))
	rel := goal.Cond.Rel
	if rel == poly.Eq && !d.IsZero() || rel == poly.Ne || d.Len() > maxStep {
		return false
	}
	for late := int64(0); late <= lateSteps; late++ {
		from := s.proof.From + late
		if s.try(func() bool { return s.inductionStep(a, b, d, rel, from) }) {
			s.proof.From = max(s.proof.From, from+1)
			return true
		}
	}
	return constant && s.stronger(goal, a, b, d)
}

// stronger proves P > 0 or P ≥ 0 by P ≥ c/n with a positive number c: as large
// as the first n allows. The atom has a constant coefficient in P, so that Q is
// B·P at n + 1, and the step is D·n(n+1) + c·B ≥ 0.
func (s *prover) stronger(goal *formula.Formula, a, b, d poly.Poly) bool {
	r := s.Scope.Ring
	p := goal.Cond.P
	switch goal.Cond.Rel {
	case poly.Lt, poly.Le:
		p, d = r.Neg(p), r.Neg(d)
	case poly.Eq, poly.Ne:
		return false
	}
	size, ok := r.Index(s.Sums.Size)
	if v, constant := a.IsConst(); !ok || !constant || !v.IsOne() || s.proof.From < 1 {
		return false
	}
	n := r.Var(size)
	next := r.Mul(n, r.Add(n, r.Int(1)))
	for first := s.proof.From; first <= s.proof.From+lateSteps; first++ {
		value, ok := s.valueAt(p, first)
		if !ok || value.Sign() <= 0 {
			continue
		}
		c := value.Mul(number.Int(first))
		step := r.Add(r.Mul(d, next), r.Scale(b, c))
		given := formula.And(s.Given, s.Sums.AtLeast(s.Scope, first))
		both := formula.And(formula.Condition(poly.Condition{P: b, Rel: poly.Gt}), formula.Condition(poly.Condition{P: step, Rel: poly.Ge}))
		if s.always(s.Scope, workEnd, given, both) {
			s.step("%s >= %s/n from n = %d on, by induction: %s >= 0", r.String(p), c, first, r.String(step))
			s.proof.From = max(s.proof.From, first)
			return true
		}
	}
	return false
}

// valueAt is the number that p is for one n, written out.
func (s *prover) valueAt(p poly.Poly, n int64) (number.Num, bool) {
	var t table
	f := one(s.Scope.Ring, p)
	t.row(varsOf(s.Scope.Ring, f), s.Scope.Ring.Len(), func(v int) formula.Place { return s.Sums.OuterPlace(s.Scope, v) })
	scope, values, err := s.Sums.WriteOut(n, s.meter.Part(workEnd), t.places)
	if err != nil {
		return number.Num{}, false
	}
	got := scope.Put(s.Scope.Ring, p, func(v int) formula.Fraction { return values[t.rows[0][v]] })
	return formula.Term{Fraction: got}.Value()
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
