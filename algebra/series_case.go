package algebra

import (
	"errors"
	"fmt"

	"squaremark/algebra/budget"
	"squaremark/algebra/decide"
	"squaremark/algebra/formula"
	"squaremark/algebra/source"
	"squaremark/algebra/syntax"
)

// at answers the question for one number of terms, at most at this cost. An
// open answer is asked again where more work is offered.
func (g *sized) at(n, work int64) Outcome {
	if out, ok := g.known[n]; ok && (out.Verdict != Unsettled || out.Unreadable != nil || work <= workGlance) {
		return out
	}
	out := g.written(n, g.meter.Part(work))
	g.known[n] = out
	return out
}

// written writes everything out for n terms and decides it.
func (g *sized) written(n int64, m *budget.Meter) Outcome {
	goal, err := g.expand(g.goal, n, nil, m)
	if undefined(err) {
		if g.natural {
			return Outcome{Verdict: Holds} // nothing is claimed there
		}
		goal, err = never(g.goal), nil
	}
	if err != nil {
		return g.open(err, g.field)
	}
	trees := []*syntax.Node{goal}
	var given []*syntax.Node
	list := g.fixed
	if g.premise != nil {
		list = append(append([]*syntax.Node(nil), list...), g.premise)
	}
	for _, t := range list {
		x, err := g.expand(t, n, nil, m)
		if undefined(err) {
			return Outcome{Verdict: Holds} // it is false there
		}
		if err != nil {
			return g.open(err, "assume")
		}
		given = append(given, x)
	}
	more, err := g.instances(n, append(trees, given...), m)
	if err != nil {
		return g.open(err, "assume")
	}
	given = append(given, more...)
	scope, err := formula.NewScope(g.vars, m, append(trees, given...)...)
	if err != nil {
		return g.open(err, g.field)
	}
	s := &session{Scope: scope, q: g.q, meter: m, given: formula.Always()}
	for _, t := range given {
		st, err := scope.Formula(t)
		if undefined(err) {
			return Outcome{Verdict: Holds}
		}
		if err != nil {
			return g.open(err, "assume")
		}
		s.given = formula.And(s.given, st.Body)
	}
	st, err := scope.Formula(goal)
	switch {
	case undefined(err) && g.natural:
		return Outcome{Verdict: Holds}
	case undefined(err):
		st.Body = formula.Never()
	case err != nil:
		return g.open(err, g.field)
	}
	if g.natural {
		s.given = formula.And(s.given, defined(st.Domain))
	}
	if work := m.Left() / int64(1+len(scope.Symbols)*len(scope.Symbols)); len(scope.Symbols) > 1 {
		// Cases of signs of many roots multiply.
		scope.Ring = scope.Ring.With(m.Part(work))
	}
	a := decide.Always(scope, s.given, st.Body)
	out := s.outcome(a)
	if out.Verdict == Fails {
		s.addSides(out.Witness, goal, a.Cases[0])
		if g.size != "" {
			out.Witness.Point = append([]Value{{g.size, fmt.Sprint(n)}}, out.Witness.Point...)
			out.Evidence.Text = describe(out.Witness)
		}
	}
	return out
}

// never is a formula that is false, at the place of another.
func never(n *syntax.Node) *syntax.Node { return &syntax.Node{Kind: syntax.None, At: n.At} }

// undefined reports an error that comes from a part without a value.
func undefined(err error) bool {
	var diag *source.Diag
	return errors.As(err, &diag) && (diag.Code == "division-by-zero" || diag.Code == "root-of-negative")
}

// open is the outcome of an error: a mistake of the writer, or unsettled.
func (g *sized) open(err error, field string) Outcome {
	var diag *source.Diag
	if errors.As(err, &diag) && diag.Code == "too-large" {
		return Outcome{Reason: diag.Message}
	}
	if errors.Is(err, formula.ErrSymbolic) {
		return Outcome{Reason: "an index or a bound of a sum has no value"}
	}
	return *failed(field, err)
}

func (g *sized) expand(n *syntax.Node, size int64, more map[string]int64, m *budget.Meter) (*syntax.Node, error) {
	values := map[string]int64{}
	if g.size != "" {
		values[g.size] = size
	}
	for k, v := range more {
		values[k] = v
	}
	set := formula.Setting{Values: values}
	if g.cyclic() {
		set.Cycle = g.size
	}
	return formula.Expand(n, set, m)
}

// maxInstances bounds how often one assumption for every index is used.
const maxInstances = 40

// instances writes the assumptions for every index out: round a cycle for each
// of its members, otherwise wherever all members are among the first n or
// are mentioned.
func (g *sized) instances(n int64, trees []*syntax.Node, m *budget.Meter) ([]*syntax.Node, error) {
	lo, hi := formula.Span(1, max(n, 1), trees...)
	var list []*syntax.Node
	for _, e := range g.every {
		first, last := lo, hi
		if g.cyclic() || e.inside {
			first, last = 1, n
		} else if l, h, ok := formula.Offsets(e.tree, e.index); ok {
			first, last = lo-l, hi-h
		}
		if last-first >= maxInstances {
			return nil, &formula.OutsideError{Reason: "an assumption for every index has too many instances"}
		}
		for i := first; i <= last; i++ {
			t, err := g.expand(e.tree, n, map[string]int64{e.index: i}, m)
			if err != nil {
				return nil, err
			}
			list = append(list, t)
		}
	}
	return list, nil
}
