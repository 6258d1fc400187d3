package decide

import (
	"squaremark/algebra/decide/onevar"
	"squaremark/algebra/decide/quadratic"
	"squaremark/algebra/decide/squares"
	"squaremark/algebra/decide/witness"
	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// found is what a search came to: at most one of the three, none when it
// gave up.
type found struct {
	refutation evidence.Refutation
	point      evidence.Point
	root       *evidence.RootPoint
}

func (f found) settled() bool { return f.refutation != nil || f.point != nil || f.root != nil }

// search decides a conjunction: constants first, then each group of conditions
// that share variables by itself. One impossible group makes the whole
// impossible; points of all groups together make a point of the whole.
func search(c *evidence.Conjunction) found {
	if !c.Ring.Meter().Spend(int64(len(c.Conds)) * costCondition) {
		return found{}
	}
	for i, cond := range c.Conds {
		if v, ok := cond.P.IsConst(); ok && !cond.Rel.Holds(v.Sign()) {
			return found{refutation: falseConstant(c.Ring, i, cond.Rel, v)}
		}
	}
	groups := components(c)
	point := make(evidence.Point, c.Ring.Len())
	open := false
	var root *evidence.RootPoint
	for _, g := range groups {
		part := &evidence.Conjunction{Ring: c.Ring, Whole: c.Whole}
		for _, k := range g.conds {
			part.Conds = append(part.Conds, c.Conds[k])
		}
		f := searchGroup(part, g.vars)
		switch {
		case f.refutation != nil:
			if len(g.conds) == len(c.Conds) { // all of them, in order
				return found{refutation: f.refutation}
			}
			return found{refutation: remap(f.refutation, g.conds, len(c.Conds))}
		case f.point != nil:
			for _, v := range g.vars {
				point[v] = f.point[v]
			}
		case f.root != nil && len(groups) == 1:
			root = f.root
		default:
			open = true
		}
	}
	switch {
	case open:
		return found{}
	case root != nil:
		return found{root: root}
	}
	return found{point: point}
}

// oneVariable decides conditions in one variable, completely.
func oneVariable(c *evidence.Conjunction, v int, use []int) found {
	switch a := onevar.Decide(c, v, use); {
	case a.Refutation != nil:
		return found{refutation: a.Refutation}
	case a.Found:
		point := make(evidence.Point, c.Ring.Len())
		point[v] = a.Value
		return found{point: point}
	case a.NoInteger:
		return found{refutation: betweenIntegers(c, v, use)}
	default:
		return found{root: a.Root}
	}
}

// degreeAlone bounds the conditions that are tried by themselves.
const degreeAlone = 6

// refuteAlone refutes the group where the conditions in one of its variables
// alone exclude each other, as they do in most combinations of signs of
// |x - 1|, |x - 2|, ...
func refuteAlone(c *evidence.Conjunction, vars []int) evidence.Refutation {
	alone := map[int][]int{}
	for k, cond := range c.Conds {
		if in := c.Ring.Vars(cond.P); len(in) == 1 && cond.P.Degree() <= degreeAlone {
			alone[in[0]] = append(alone[in[0]], k)
		}
	}
	for _, v := range vars {
		if use := alone[v]; len(use) > 1 {
			if f := oneVariable(c, v, use); f.refutation != nil {
				return f.refutation
			}
		}
	}
	return nil
}

// falseConstant refutes by the one condition v Rel 0 that is false.
func falseConstant(ring *poly.Ring, i int, rel poly.Rel, v number.Num) evidence.Refutation {
	one := ring.Const(number.Int(1))
	switch rel {
	case poly.Eq:
		inv, _ := v.Inv()
		return &evidence.Combination{
			Terms:     []evidence.Term{{Coef: number.Int(1), Root: one}},
			Multiples: []evidence.Multiple{{Cond: i, By: ring.Const(inv.Neg())}},
		}
	case poly.Ne:
		return &evidence.Combination{Terms: []evidence.Term{{Coef: number.Int(1), Root: one, NonZero: []int{i}}}}
	}
	terms := []evidence.Term{{Coef: number.Int(1), Root: one, Factors: []int{i}}}
	if !v.IsZero() {
		terms = append(terms, evidence.Term{Coef: v.Abs(), Root: one})
	}
	return &evidence.Combination{Terms: terms}
}

// group is a set of conditions that share variables, with those variables.
type group struct {
	conds []int
	vars  []int
}

// components splits a conjunction into groups that share no variable.
// Conditions without a variable, which are true here, are left out.
func components(c *evidence.Conjunction) []group {
	parent := make([]int, c.Ring.Len())
	for i := range parent {
		parent[i] = i
	}
	find := func(i int) int {
		for parent[i] != i {
			parent[i] = parent[parent[i]]
			i = parent[i]
		}
		return i
	}
	vars := make([][]int, len(c.Conds))
	for k, cond := range c.Conds {
		vars[k] = c.Ring.Vars(cond.P)
		for _, v := range vars[k] {
			parent[find(v)] = find(vars[k][0])
		}
	}
	at := map[int]int{}
	var groups []group
	for k := range c.Conds {
		if len(vars[k]) == 0 {
			continue
		}
		root := find(vars[k][0])
		i, ok := at[root]
		if !ok {
			i = len(groups)
			at[root] = i
			g := group{}
			for v := range parent {
				if find(v) == root {
					g.vars = append(g.vars, v)
				}
			}
			groups = append(groups, g)
		}
		groups[i].conds = append(groups[i].conds, k)
	}
	return groups
}

// Shares of the work that one group may cost, in budget units.
const (
	workFirstLook = 40_000
	workSquares   = 800_000
	workWitness   = 300_000
)

// costCondition is what one condition of one case costs apart from its own
// arithmetic: gathered, put into a group, carried into the proof and looked at
// again by the kernel.
const costCondition = 250

// searchGroup decides conditions that hang together. A condition of degree two
// that cannot hold by itself is refuted by squares, which people can read. One
// variable: complete. Otherwise a first look for a point, then proofs, then a
// longer look.
func searchGroup(c *evidence.Conjunction, vars []int) found {
	if r, ok := quadratic.Refute(c); ok {
		return found{refutation: r}
	}
	if len(vars) == 1 {
		use := make([]int, len(c.Conds))
		for i := range use {
			use[i] = i
		}
		return oneVariable(c, vars[0], use)
	}
	if r := refuteAlone(c, vars); r != nil {
		return found{refutation: r}
	}
	if r := immediate(c); r != nil {
		return found{refutation: r}
	}
	if f := pinched(c); f.settled() {
		return f
	}
	if onlyModuli(c, vars) {
		if f := moduli(c, vars); f.settled() {
			return f
		}
	}
	meter := c.Ring.Meter()
	if p, ok := witness.Find(c, meter.Part(workFirstLook)); ok {
		return found{point: p}
	}
	if f := substitute(c, vars); f.settled() {
		return f
	}
	if f := moduli(c, vars); f.settled() {
		return f
	}
	if r, ok := squares.Refute(c, meter.Part(workSquares)); ok {
		return found{refutation: r}
	}
	if p, ok := witness.Find(c, meter.Part(workWitness)); ok {
		return found{point: p}
	}
	return found{}
}
