package integer

import (
	"math/big"
	"slices"

	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// condition is what the members of a set satisfy.
type condition struct {
	scope    *formula.Scope
	f        *formula.Formula
	unknowns []int
	positive []int // unknowns that are at least 1
}

func (c condition) isUnknown(v int) bool { return slices.Contains(c.unknowns, v) }

// full is f with the ranges of the unknowns.
func (c condition) full() *formula.Formula {
	parts := []*formula.Formula{}
	for _, v := range c.positive {
		r := c.scope.Ring
		parts = append(parts, formula.Condition(poly.Condition{P: r.Sub(r.Var(v), r.Int(1)), Rel: poly.Ge}))
	}
	return formula.And(append(parts, c.f)...)
}

// holds evaluates the question at a tuple as it was asked, roots included. ok
// is false when a root has no exact value as a sum of square roots.
func (c condition) holds(tuple []*big.Int) (holds, ok bool) {
	if len(tuple) != len(c.unknowns) {
		return false, true
	}
	at := &point{scope: c.scope, values: make([]number.Num, c.scope.Ring.Len())}
	at.known = make([]bool, len(at.values))
	for i, v := range c.unknowns {
		at.values[v], at.known[v] = number.FromBigInt(tuple[i]), true
	}
	for _, v := range c.positive {
		if at.values[v].Sign() <= 0 {
			return false, true
		}
	}
	holds, ok = at.formula(c.f)
	return holds, ok && !c.scope.Ring.Meter().Exhausted()
}

// point gives values to the variables of a scope; those of root symbols are
// worked out when first asked for.
type point struct {
	scope  *formula.Scope
	values []number.Num
	known  []bool
}

func (p *point) formula(f *formula.Formula) (holds, ok bool) {
	switch f.Op {
	case formula.True, formula.False:
		return f.Op == formula.True, true
	case formula.Is:
		v, ok := p.eval(f.Cond.P)
		return ok && f.Cond.Rel.Holds(v.Sign()), ok
	}
	// In order, so that the domain of a root is seen before the root.
	for _, k := range f.Kids {
		holds, ok := p.formula(k)
		if !ok {
			return false, false
		}
		if holds != (f.Op == formula.All) {
			return holds, true
		}
	}
	return f.Op == formula.All, true
}

func (p *point) eval(f poly.Poly) (number.Num, bool) {
	for _, v := range p.scope.Ring.Vars(f) {
		if !p.known[v] && !p.root(v) {
			return number.Num{}, false
		}
	}
	return p.scope.Ring.EvalAll(f, p.values), true
}

// root works out the value of a root symbol.
func (p *point) root(v int) bool {
	for _, y := range p.scope.Symbols {
		if y.Var != v {
			continue
		}
		num, ok1 := p.eval(y.Of.Num)
		den, ok2 := p.eval(y.Of.Den)
		of, ok3 := num.Div(den)
		if !ok1 || !ok2 || !ok3 {
			return false
		}
		x, ok := formula.RootOfNumber(of, y.Power)
		p.values[v], p.known[v] = x, ok
		return ok
	}
	return false
}
