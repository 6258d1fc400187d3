// Package onevar decides and solves sign conditions in one variable with
// coefficients in Q or in fields of square roots: completely, by a table of
// signs on the real roots of all polynomials and between them.
//
//	decide.go   can these conditions hold together? A point or a refutation
//	solve.go    the solution set of a formula
//	roots.go    the sign table
//	radical.go  roots of expressions removed from a formula
//	value.go    the numbers at the ends of sets
//	set.go      unions of intervals and points, and their algebra
//	runs.go     sets of integers
//	text.go     sets as text
//
// Not covered: conditions in several variables, and refutations over the
// integers that do not hold over the reals (the kernel has no such evidence;
// Answer says NoInteger then).
package onevar

import (
	"math/big"

	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/poly/uni"
)

// Answer is what Decide found. At most one of Refutation, Point and Root is
// set; the zero Answer means that nothing was found (the meter ran out, or a
// condition has another variable).
type Answer struct {
	Refutation *evidence.OneVariable
	Value      number.Num // the variable's value, when Found
	Found      bool
	Root       *evidence.RootPoint // where no Num was found, only for real variables
	NoInteger  bool                // real solutions exist, none is an integer
}

// Decide answers whether the conditions use of c, all in variable v only, can
// hold together, with a value that is as simple as can be (an integer where v
// ranges over the integers), or with a refutation for the kernel.
//
// Complete within the meter of the ring. Cost: a few evaluations where a small
// number works; otherwise root isolation of each condition.
// Source: elementary (a sign table).
func Decide(c *evidence.Conjunction, v int, use []int) Answer {
	fs := make([]uni.Uni, len(use))
	rels := make([]poly.Rel, len(use))
	for i, k := range use {
		f, ok := c.Ring.ToUni(c.Conds[k].P, v)
		if !ok {
			return Answer{}
		}
		fs[i], rels[i] = f, c.Conds[k].Rel
	}
	m := c.Ring.Meter()
	if x, ok := small(fs, rels); ok {
		return Answer{Value: x, Found: true}
	}
	l, err := cutAt(fs, m)
	if err != nil {
		return Answer{}
	}
	var open []int // the cells on which all conditions hold
	for i := 0; i <= 2*len(l.at); i++ {
		if l.holds(i, rels, nil) {
			open = append(open, i)
		}
	}
	var a Answer
	switch {
	case len(open) == 0:
		a.Refutation = l.refutation(v, use, rels)
	case c.IsWhole(v):
		a = l.integer(open)
	default:
		a = l.point(c.Ring, v, open)
	}
	if m.Exhausted() {
		return Answer{}
	}
	return a
}

// small tries the numbers that work most often.
func small(fs []uni.Uni, rels []poly.Rel) (number.Num, bool) {
	for _, k := range [...]int64{0, 1, -1, 2, -2, 3} {
		x, all := number.Int(k), true
		for i, f := range fs {
			if !rels[i].Holds(f.SignAt(x)) {
				all = false
				break
			}
		}
		if all {
			return x, true
		}
	}
	return number.Num{}, false
}

// holds reports that all conditions hold on cell i, those left out apart.
func (l *line) holds(i int, rels []poly.Rel, out []bool) bool {
	for k, rel := range rels {
		if (out == nil || !out[k]) && !rel.Holds(l.sign(i, k)) {
			return false
		}
	}
	return true
}

// point prefers an open interval, then a number, then a root.
func (l *line) point(r *poly.Ring, v int, open []int) Answer {
	var best number.Num
	found := false
	better := func(x number.Num) {
		if !found || x.Bits() < best.Bits() || x.Bits() == best.Bits() && x.Abs().Cmp(best.Abs()) < 0 {
			best, found = x, true
		}
	}
	for _, i := range open {
		if i%2 == 0 {
			better(l.between(i / 2))
		}
	}
	for _, i := range open {
		if i%2 == 1 && !l.at[i/2].open && (!found || l.at[i/2].num.IsRational()) {
			better(l.at[i/2].num)
		}
	}
	for n, i := range open {
		if found {
			break
		}
		// The search for square roots looks at pairs of roots; for a witness
		// it is worth its cost in low degrees only.
		if d := l.at[i/2].degree(); d > 6 || n > 0 && d > 4 {
			break
		}
		if x, ok := l.at[i/2].simplified().Num(); ok {
			better(x)
		}
	}
	if found {
		return Answer{Value: best, Found: true}
	}
	root := l.at[open[0]/2].root
	return Answer{Root: &evidence.RootPoint{Var: v, Of: r.FromUni(root.Poly(), v), Lo: root.Lo, Hi: root.Hi}}
}

// integer looks for the integer nearest to 0 on the cells.
func (l *line) integer(open []int) Answer {
	in := make([]bool, 2*len(l.at)+1)
	for _, i := range open {
		in[i] = true
	}
	var best *big.Int
	for _, r := range cut(l.at, in).Integers() {
		k := new(big.Int)
		switch {
		case r.Lo != nil && r.Lo.Sign() > 0:
			k = r.Lo
		case r.Hi != nil && r.Hi.Sign() < 0:
			k = r.Hi
		}
		if best == nil || k.CmpAbs(best) < 0 {
			best = k
		}
	}
	if best == nil {
		return Answer{NoInteger: true}
	}
	return Answer{Value: number.FromBigInt(best), Found: true}
}

// refutation lists the roots of the conditions that are needed: those that
// could be left out, one after the other, are.
func (l *line) refutation(v int, use []int, rels []poly.Rel) *evidence.OneVariable {
	out := make([]bool, len(use))
	for k := range out {
		out[k] = true
		for i := 0; i <= 2*len(l.at); i++ {
			if l.holds(i, rels, out) {
				out[k] = false
				break
			}
		}
	}
	r := &evidence.OneVariable{Var: v}
	for k, left := range out {
		if !left {
			r.Use = append(r.Use, use[k])
		}
	}
	for i, x := range l.at {
		for k, zero := range l.zero[i] {
			if zero && !out[k] {
				lo, hi := x.Bounds()
				r.Roots = append(r.Roots, evidence.Isolated{Lo: lo, Hi: hi})
				break
			}
		}
	}
	return r
}
