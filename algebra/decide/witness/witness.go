// Package witness looks for a point at which given sign conditions hold
// together, with numbers that a pupil can put in: small integers first. It
// finds points, it never shows that there is none.
//
//	witness.go      the order in which points are tried
//	reduce.go       equations used up: variables in terms of others
//	complete.go     a choice of the free variables made into a whole point
//	values.go       the numbers tried for each variable
//	points.go       special points, grids, random points
//	slice.go        all variables but one fixed, the last one solved exactly
//	search_float.go conditions in floating point, to pass over most points
//	search_descent.go descent in floating point, rounded to small fractions
//
// Floating point only chooses which points to test: every point is tested
// exactly. The same question always gives the same point.
package witness

import (
	"squaremark/algebra/budget"
	"squaremark/algebra/evidence"
	"squaremark/algebra/poly"
)

// Find searches a point of c for as long as m allows. Integer variables get
// integers. Domain: any conjunction; points with values outside rationals and
// sums of square roots are not found. Exact. Cost: at most what m has left.
func Find(c *evidence.Conjunction, m *budget.Meter) (evidence.Point, bool) {
	attempts := 1
	for _, cond := range c.Conds {
		if cond.Rel == poly.Eq {
			attempts = 2 // another choice of the variables to solve for
		}
	}
	for k := range attempts {
		share := m.Left()
		if k+1 < attempts {
			share = share * 2 / 3
		}
		if p := newSearch(c, m.Part(share), k == 0).run(); p != nil && check(c, m, p) {
			return p, true
		}
	}
	return nil, false
}

// check tests every condition of c exactly, as the kernel will.
func check(c *evidence.Conjunction, m *budget.Meter, p evidence.Point) bool {
	return evidence.CheckPoint(&evidence.Conjunction{Ring: c.Ring.With(m), Conds: c.Conds, Whole: c.Whole}, p) == nil
}

// search is one attempt: conditions on free variables, and how to get from
// values of these to a point.
type search struct {
	conj   *evidence.Conjunction // the question
	ring   *poly.Ring            // its ring, spending on meter
	meter  *budget.Meter
	conds  []poly.Condition // what is left after using equations
	steps  []step           // variables given by others, in the order taken
	solves []solve          // variables that are roots of an equation
	free   []int            // variables to choose
	lists  []list           // numbers to try for each free variable
	fast   []fast           // conds in floating point
	at     floats           // scratch: one value for each variable of the ring
	dead   bool             // the conditions are false after using equations
}

// run tries the sources of points in turn, each with a share of the meter.
func (s *search) run() evidence.Point {
	if s.dead {
		return nil
	}
	total := s.meter.Left()
	for _, stage := range []struct {
		percent int64
		try     func(limit int64) evidence.Point
	}{
		{15, s.special}, {10, s.vertices}, {25, s.grid}, {20, s.slices}, {25, s.descend}, {100, s.random},
	} {
		limit := s.meter.Left() - total*stage.percent/100
		if p := stage.try(max(limit, 0)); p != nil {
			return p
		}
		if s.meter.Exhausted() {
			return nil
		}
	}
	return nil
}
