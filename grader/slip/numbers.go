package slip

import (
	"math/big"
	"strings"

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
	w.look(out)
	return true
}

// sample is a tuple of whole numbers, and whether the answer holds it.
type sample struct {
	values []number.Num
	in     bool
}

// Bounds on the numbers that are looked at.
const (
	maxTuples = 12 // members of a list, each with its neighbours
	around    = 20 // of a set without end: from -20 to 20
)

// look chooses some numbers. Where there are none, every candidate is solved.
func (w *integers) look(out algebra.IntegersOutcome) {
	trees := append([]*syntax.Node(nil), w.solve...)
	trees = append(trees, w.finder.givens...)
	answer, ok := w.finder.read(w.answer)
	if !ok {
		return
	}
	if out.ExtraText != "" {
		trees = append(trees, answer)
	}
	for _, t := range trees {
		if holds(t, syntax.Root, syntax.Abs, syntax.BigSum, syntax.Ellipsis, syntax.PlusMinus) {
			return
		}
	}
	scope, err := formula.NewScope(w.finder.vars, budget.New(w.finder.limits), trees...)
	if err != nil || len(scope.Vars) > len(w.unknowns) {
		return
	}
	for _, g := range w.finder.givens {
		st, err := scope.Formula(g)
		if err != nil {
			return
		}
		w.given = append(w.given, st.Body)
	}
	w.scope = scope
	if out.ExtraText == "" {
		w.members(out.Parsed)
		return
	}
	st, err := scope.Formula(answer)
	if err != nil || len(w.unknowns) != 1 {
		return
	}
	for k := int64(-around); k <= around; k++ {
		v := []number.Num{number.Int(k)}
		if w.inRange(v) {
			w.samples = append(w.samples, sample{v, satisfied(scope, st.Body, w.point(v, w.unknowns))})
		}
	}
}

// members looks at the members of a list and at the tuples beside them.
func (w *integers) members(list []algebra.Tuple) {
	in := map[string]bool{}
	for _, t := range list {
		in[strings.Join(t, ",")] = true
	}
	for _, t := range list[:min(len(list), maxTuples)] {
		for i := range t {
			for _, step := range []int64{0, 1, -1} {
				beside := append(algebra.Tuple(nil), t...)
				v, ok := new(big.Int).SetString(t[i], 10)
				if !ok {
					return
				}
				beside[i] = v.Add(v, big.NewInt(step)).String()
				values := make([]number.Num, len(t))
				for k, text := range beside {
					values[k], _ = number.Parse(strings.TrimPrefix(text, "-"))
					if strings.HasPrefix(text, "-") {
						values[k] = values[k].Neg()
					}
				}
				if w.inRange(values) {
					w.samples = append(w.samples, sample{values, in[strings.Join(beside, ",")]})
				}
			}
		}
	}
}

// inRange leaves out what a positive unknown cannot be.
func (w *integers) inRange(values []number.Num) bool {
	for i, u := range w.unknowns {
		for _, v := range w.finder.vars {
			if v.Name == u && v.Range == formula.PositiveInteger && values[i].Sign() <= 0 {
				return false
			}
		}
	}
	return true
}

// point is a tuple as a point of the scope.
func (w *integers) point(values []number.Num, order []string) []number.Num {
	point := make([]number.Num, w.scope.Ring.Len())
	for i, u := range order {
		if at, ok := w.scope.Ring.Index(u); ok {
			point[at] = values[i]
		}
	}
	return point
}

// mayBe looks at some numbers: a set that holds other ones of them than the
// answer is not the one that was written. It decides nothing else.
func (w integers) mayBe(solve []*syntax.Node, order []string) bool {
	if len(w.samples) == 0 {
		return true
	}
	all := append([]*formula.Formula(nil), w.given...)
	for _, n := range solve {
		if holds(n, syntax.Root) {
			return true
		}
		st, err := w.scope.Formula(n)
		if err != nil {
			return true
		}
		all = append(all, st.Body)
	}
	body := formula.And(all...)
	for _, s := range w.samples {
		if satisfied(w.scope, body, w.point(s.values, order)) != s.in {
			return w.scope.Ring.Meter().Exhausted()
		}
	}
	return true
}

// satisfied evaluates a formula at a point.
func satisfied(s *formula.Scope, f *formula.Formula, point []number.Num) bool {
	switch f.Op {
	case formula.True:
		return true
	case formula.Is:
		return f.Cond.Rel.Holds(s.Ring.EvalAll(f.Cond.P, point).Sign())
	case formula.All:
		for _, k := range f.Kids {
			if !satisfied(s, k, point) {
				return false
			}
		}
		return true
	case formula.Any:
		for _, k := range f.Kids {
			if satisfied(s, k, point) {
				return true
			}
		}
	}
	return false
}
