package algebra

import (
	"squaremark/algebra/decide"
	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// insideOnly reports that the texts mention members among the first n only,
// as is seen by writing them out for a few n.
func (g *sized) insideOnly() bool {
	trees := append([]*syntax.Node{g.goal}, g.fixed...)
	if g.premise != nil {
		trees = append(trees, g.premise)
	}
	for n := g.start; n < g.start+checks; n++ {
		for _, t := range trees {
			x, err := g.expand(t, n, nil, g.meter)
			if lo, hi := formula.Span(1, n, x); err != nil || lo < 1 || hi > n {
				return false
			}
		}
	}
	return true
}

// numbersOnly reports that no variable but n occurs.
func (g *sized) numbersOnly() bool {
	for _, v := range g.vars {
		for _, name := range formula.NamesIn(g.goal) {
			if v.Name != g.size && (name == v.Name || name+"_i" == v.Name) {
				return false
			}
		}
	}
	return g.premise == nil
}

// allowed finds the first n that the assumptions about n alone allow, and
// reports that they leave none above maxFinite.
func (g *sized) allowed() (bounded bool) {
	g.start = 1
	var conds []*syntax.Node
	for _, t := range g.fixed {
		if names := formula.NamesIn(t); len(names) == 1 && names[0] == g.size && !formula.HasSum(t) {
			conds = append(conds, t)
		}
	}
	for _, v := range g.vars {
		if v.Name == g.size && v.Range != formula.PositiveInteger {
			g.start = 0
		}
	}
	scope, given := g.sizeScope(conds)
	if scope == nil {
		return false
	}
	about := func(k int64, rel poly.Rel) bool {
		v, _ := scope.Ring.Index(g.size)
		p := scope.Ring.Sub(scope.Ring.Var(v), scope.Ring.Int(k))
		return decide.Always(scope, given, formula.Condition(poly.Condition{P: p, Rel: rel})).Verdict == Holds
	}
	const last = 40
	g.below = g.start == 0 && !about(0, poly.Ge)
	for k := g.start + 1; k <= last && about(k, poly.Ge); k++ {
		g.start = k
	}
	return !g.below && about(maxFinite, poly.Le)
}

// sizeScope is a scope of n alone with what is assumed of it.
func (g *sized) sizeScope(conds []*syntax.Node) (*formula.Scope, *formula.Formula) {
	scope, err := formula.NewScope(g.vars, g.meter.Part(workGlance), append([]*syntax.Node{{Kind: syntax.Name, Text: g.size}}, conds...)...)
	if err != nil {
		return nil, nil
	}
	given := formula.Always()
	for _, t := range conds {
		st, err := scope.Formula(t)
		if err != nil {
			return nil, nil
		}
		given = formula.And(given, st.Body)
	}
	return scope, given
}
