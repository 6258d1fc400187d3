package slip

import (
	"squaremark/algebra"
	"squaremark/algebra/budget"
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/syntax"
)

// parse reads the answer as a set. ok is false for what is none.
func (w *integers) parse() bool {
	never := "0 = 1"
	out := w.finder.probe.Integers([]string{never}, w.unknowns, &w.answer)
	if out.Unreadable != nil || !out.AnswerIsSet {
		return false
	}
	w.empty = out.Verdict == algebra.Holds
	if out.ExtraText == "" {
		w.tuples = out.Parsed
	}
	return true
}

// maxLooked bounds the tuples of an answer at which conditions are tried.
const maxLooked = 12

// mayBe looks at some numbers of the answer: a set of which they are no
// members is not the one that was written. It decides nothing else.
func (w integers) mayBe(solve []*syntax.Node, order []string) bool {
	if len(w.tuples) == 0 {
		return true
	}
	scope, err := formula.NewScope(w.finder.vars, budget.New(w.finder.limits), solve...)
	if err != nil || len(scope.Symbols) > 0 {
		return true
	}
	all := make([]*formula.Formula, len(solve))
	for i, n := range solve {
		st, err := scope.Formula(n)
		if err != nil || len(st.Domain) > 0 {
			return true
		}
		all[i] = st.Body
	}
	if len(scope.Symbols) > 0 {
		return true
	}
	point := make([]number.Num, scope.Ring.Len())
	for _, t := range w.tuples[:min(len(w.tuples), maxLooked)] {
		given := 0
		for i, u := range order {
			at, ok := scope.Ring.Index(u)
			v, okV := number.Parse(t[i])
			if ok && okV {
				point[at] = v
				given++
			}
		}
		if given < len(scope.Vars) {
			return true
		}
		for _, f := range all {
			if !holds(scope, f, point) {
				return false
			}
		}
	}
	return true
}

// holds evaluates a formula at a point.
func holds(s *formula.Scope, f *formula.Formula, point []number.Num) bool {
	switch f.Op {
	case formula.True:
		return true
	case formula.Is:
		return f.Cond.Rel.Holds(s.Ring.EvalAll(f.Cond.P, point).Sign())
	case formula.All:
		for _, k := range f.Kids {
			if !holds(s, k, point) {
				return false
			}
		}
		return true
	case formula.Any:
		for _, k := range f.Kids {
			if holds(s, k, point) {
				return true
			}
		}
	}
	return false
}
