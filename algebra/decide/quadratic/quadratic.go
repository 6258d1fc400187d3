// Package quadratic decides polynomials of degree at most two in any number
// of variables: whether they are non-negative everywhere, their least value,
// where it is attained, and along which ray they fall without bound. It is
// complete: only an exhausted meter, or square roots too many to divide by,
// leave a question open.
//
//	quadratic.go the questions and their answers
//	form.go      a polynomial as a symmetric matrix, and back
//	eliminate.go completing the square, variable after variable
//	integers.go  the same without fractions, for full matrices
//	complete.go  the same for a bare matrix
//	simplify.go  points with smaller numbers
//
// Not covered: several conditions together (packages witness and squares),
// and integer ranges.
//
// Source: completing the square is the LDLᵀ factorisation of the symmetric
// matrix of the form (G. H. Golub, C. F. Van Loan, Matrix Computations,
// section 4.1, from memory).
package quadratic

import (
	"slices"

	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// Square is Coef·Form², Coef > 0 and Form of degree at most 1.
type Square struct {
	Coef number.Num
	Form poly.Poly
}

// Least describes the infimum of a polynomial f of degree at most two.
//
// If Bounded, f = Σ Squares + Value, and f has the least value Value, exactly
// at the points At + Σ t_k·Directions[k] for real t_k. Otherwise f(At + t·Ray)
// falls without bound as t grows.
type Least struct {
	Bounded    bool
	Value      number.Num
	Squares    []Square
	At         evidence.Point
	Directions []evidence.Point
	Ray        evidence.Point
}

// LeastValue finds the infimum of f over the reals. Variables of the ring that
// do not occur in f are 0 in At and Ray and have no direction.
//
// Domain: degree of f at most 2; ok is false for a higher degree, when the
// meter is exhausted, or for coefficients with more independent square roots
// than number.Num.Inv takes. Exact. Cost: about n³/6 multiplications for n
// variables, fewer when few pairs of variables occur.
func LeastValue(r *poly.Ring, f poly.Poly) (least Least, ok bool) {
	m, e, ok := completed(r, f)
	if !ok {
		return least, false
	}
	least.At = m.point(r, e.solve(nil))
	if e.fall != nil {
		least.Ray = m.point(r, e.along(e.fall))
		return least, r.Meter().Err() == nil
	}
	least.Bounded, least.Value = true, e.rest
	least.Squares = m.squares(r, e)
	for _, k := range e.free {
		unit := make([]number.Num, m.n)
		unit[k] = number.Int(1)
		least.Directions = append(least.Directions, m.point(r, e.along(unit)))
	}
	return least, r.Meter().Err() == nil
}

// completed completes the squares of f; ok as in LeastValue.
func completed(r *poly.Ring, f poly.Poly) (m *matrix, e *elimination, ok bool) {
	if f.Degree() > 2 {
		return nil, nil, false
	}
	m = matrixOf(r, f)
	e, ok = m.eliminate(r.Meter())
	return m, e, ok
}

func (m *matrix) squares(r *poly.Ring, e *elimination) []Square {
	out := make([]Square, 0, len(e.steps))
	for _, s := range e.steps {
		out = append(out, Square{s.coef, m.form(r, s.row)})
	}
	return out
}

// Result answers NonNegative. Holds: f is the sum of Terms, squares with
// positive factors and perhaps a positive constant, ready for an
// evidence.Combination. Fails: f is negative at Below. The zero Result says
// nothing.
type Result struct {
	Verdict evidence.Verdict
	Terms   []evidence.Term
	Below   evidence.Point
}

// NonNegative decides whether f ≥ 0 everywhere. Domain, exactness and cost as
// for LeastValue; the point has small numbers where that costs little.
func NonNegative(r *poly.Ring, f poly.Poly) Result {
	m, e, ok := completed(r, f)
	if !ok {
		return Result{}
	}
	if e.fall == nil && e.rest.Sign() >= 0 {
		l := Least{Squares: m.squares(r, e), Value: e.rest}
		if r.Meter().Exhausted() {
			return Result{}
		}
		return Result{Verdict: evidence.Holds, Terms: l.terms(r)}
	}
	p := m.point(r, e.solve(nil))
	if e.fall != nil {
		if p, ok = below(r, f, p, m.point(r, e.along(e.fall))); !ok {
			return Result{}
		}
	}
	if p = simplify(r, f, p); r.Meter().Exhausted() {
		return Result{}
	}
	return Result{Verdict: evidence.Fails, Below: p}
}

// terms is the bounded f as terms; a zero constant is left out.
func (l *Least) terms(r *poly.Ring) []evidence.Term {
	return l.addTerms(r, make([]evidence.Term, 0, len(l.Squares)+1))
}

// addTerms appends terms to ts.
func (l *Least) addTerms(r *poly.Ring, ts []evidence.Term) []evidence.Term {
	for _, s := range l.Squares {
		ts = append(ts, evidence.Term{Coef: s.Coef, Root: s.Form})
	}
	if l.Value.Sign() > 0 {
		ts = append(ts, evidence.Term{Coef: l.Value, Root: r.Int(1)})
	}
	return ts
}

// Refute refutes c when one of its conditions is of degree at most two and
// can never hold. Cost: LeastValue once or twice for each such condition.
func Refute(c *evidence.Conjunction) (evidence.Refutation, bool) {
	for k, cond := range c.Conds {
		if cond.P.Degree() > 2 {
			continue
		}
		if r, ok := refuteOne(c.Ring, k, cond); ok {
			return r, true
		}
	}
	return nil, false
}

// falls reports that f, of degree at most two, is seen to fall without bound
// (down) or rise without bound (up) along one variable or, where it is linear,
// at all; false says nothing.
func falls(r *poly.Ring, f poly.Poly) (down, up bool) {
	if f.Degree() == 1 {
		return true, true
	}
	r.Each(f, func(exps []uint8, c number.Num) bool {
		if slices.Contains(exps, 2) {
			down, up = down || c.Sign() < 0, up || c.Sign() > 0
		}
		return !down || !up
	})
	return down, up
}

// refuteOne refutes condition k alone.
func refuteOne(r *poly.Ring, k int, cond poly.Condition) (*evidence.Combination, bool) {
	one := number.Int(1)
	if cond.Rel != poly.Ne {
		down, up := falls(r, cond.P)
		switch cond.Rel {
		case poly.Gt, poly.Ge:
			down = up
		case poly.Eq:
			down = down && up
		}
		if down {
			return nil, false
		}
	}
	switch cond.Rel {
	case poly.Ne:
		if !cond.P.IsZero() {
			return nil, false
		}
		return &evidence.Combination{Terms: []evidence.Term{{Coef: one, Root: r.Int(1), NonZero: []int{k}}}}, true
	case poly.Eq:
		for _, sign := range []number.Num{one, one.Neg()} {
			least, ok := LeastValue(r, r.Scale(cond.P, sign))
			if ok && least.Bounded && least.Value.Sign() > 0 {
				by := r.Const(sign.Neg())
				return &evidence.Combination{
					Terms:     least.terms(r),
					Multiples: []evidence.Multiple{{Cond: k, By: by}},
				}, true
			}
		}
		return nil, false
	}
	f := cond.P
	if cond.Rel == poly.Gt || cond.Rel == poly.Ge {
		f = r.Neg(f)
	}
	least, ok := LeastValue(r, f)
	if !ok || !least.Bounded || least.Value.Sign() < 0 || least.Value.IsZero() && !cond.Rel.Strict() {
		return nil, false
	}
	terms := make([]evidence.Term, 1, len(least.Squares)+2)
	terms[0] = evidence.Term{Coef: one, Root: r.Int(1), Factors: []int{k}}
	return &evidence.Combination{Terms: least.addTerms(r, terms)}, true
}
