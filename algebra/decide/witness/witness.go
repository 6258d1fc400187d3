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
	"slices"

	"squaremark/algebra/budget"
	"squaremark/algebra/evidence"
	"squaremark/algebra/poly"
)

// Find searches a point of c for as long as m allows. Integer variables get
// integers. Domain: any conjunction; points with values outside rationals and
// sums of square roots are not found. Exact. Cost: at most what m has left.
func Find(c *evidence.Conjunction, m *budget.Meter) (evidence.Point, bool) {
	equations := slices.ContainsFunc(c.Conds, func(cond poly.Condition) bool { return cond.Rel == poly.Eq })
	share := m.Left()
	if equations {
		share /= 2
	}
	if p := newSearch(c, m.Part(share), true).run(); p != nil && check(c, m, p) {
		return p, true
	}
	if !equations {
		return nil, false
	}
	// Again with another variable solved for, in each way in which the factors
	// of the equations can be zero.
	ways := branches(c, c.Ring.With(m))
	for i, w := range ways {
		share := m.Left() / int64(len(ways)-i)
		if p := newSearch(w, m.Part(share), false).run(); p != nil && check(c, m, p) {
			return p, true
		}
	}
	return nil, false
}

// maxBranches bounds the ways in which factors of equations are made zero.
const maxBranches = 8

// branches lists conjunctions that together say what c says, each with one
// factor of every equation made zero.
func branches(c *evidence.Conjunction, r *poly.Ring) []*evidence.Conjunction {
	ways := []*evidence.Conjunction{{Ring: c.Ring, Whole: c.Whole, Conds: slices.Clone(c.Conds)}}
	for k, cond := range c.Conds {
		if cond.Rel != poly.Eq || cond.P.Degree() < 2 {
			continue
		}
		factors := r.SquareFree(cond.P)
		if len(factors) == 0 || len(factors)*len(ways) > maxBranches {
			continue
		}
		var next []*evidence.Conjunction
		for _, w := range ways {
			for _, f := range factors {
				conds := slices.Clone(w.Conds)
				conds[k].P = f.Base
				next = append(next, &evidence.Conjunction{Ring: c.Ring, Whole: c.Whole, Conds: conds})
			}
		}
		ways = next
	}
	return ways
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
