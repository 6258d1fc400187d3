package slip

import (
	"squaremark/algebra"
	"squaremark/algebra/budget"
	"squaremark/algebra/formula"
	"squaremark/algebra/syntax"
)

// Finder looks for slips in the answers to one question. It is immutable and
// may be used by many goroutines.
type Finder struct {
	vars   []formula.Variable
	probe  *algebra.Question
	givens []*syntax.Node
	cycle  string // the length of the cycle that the givens declare, or ""
	limits budget.Limits
}

// NewFinder is a finder for a setting, which must be one that
// algebra.NewQuestion accepts; for another one it finds nothing. limits bound
// the work on one answer for polynomials, and on each question that is put to
// the engine, of which there are at most 24 for one answer.
func NewFinder(vars []algebra.Declared, givens []string, limits budget.Limits) *Finder {
	f := &Finder{limits: limits}
	ranges := map[string]formula.Range{"integer": formula.Integer, "positive integer": formula.PositiveInteger}
	for _, v := range vars {
		if r, ok := f.read(v.Name); ok {
			f.vars = append(f.vars, formula.Variable{Name: syntax.Plain(r), Range: ranges[v.Range]})
		}
	}
	for _, g := range givens {
		if n, ok := f.read(g); ok {
			f.givens = append(f.givens, n)
			if _, size, is := formula.CycleOf(n); is {
				f.cycle = size
			}
		}
	}
	if q, bad := algebra.NewQuestion(vars, givens, limits); bad == nil {
		f.probe = q
	}
	return f
}

func (f *Finder) read(text string) (*syntax.Node, bool) {
	r, bad := syntax.Read(text, budget.New(f.limits))
	if bad != nil {
		return nil, false
	}
	return r.Root, true
}

// SquareForm names the slip, or the two slips, that make the answer out of
// the expression.
func (f *Finder) SquareForm(expression, answer string) []*Slip {
	m := budget.New(f.limits)
	e, okE := f.read(expression)
	a, okA := f.read(answer)
	if !okE || !okA || f.probe == nil {
		return nil
	}
	scope, err := formula.NewScope(f.vars, m, e, a)
	if err != nil {
		return nil
	}
	c, ok := newChange(scope, e, a)
	if !ok {
		return nil
	}
	return ended(c.search(SquareForm), m)
}

// ended drops what was found after the work was used up.
func ended(found []*Slip, m *budget.Meter) []*Slip {
	if m.Exhausted() {
		return nil
	}
	return found
}

// Step names the slip, or the two slips, that make one line of a chain out of
// the line before. A step that is right has no slip, whatever would give it:
// label is the engine's judgement.
func (f *Finder) Step(label algebra.Label, before, after string) []*Slip {
	switch label {
	case algebra.StepWrong, algebra.StepLeap, algebra.StepOneWay, algebra.StepNeedsCondition:
	default:
		return nil
	}
	b, okB := f.read(before)
	a, okA := f.read(after)
	if !okB || !okA || f.probe == nil || holds(b, syntax.PlusMinus) || holds(a, syntax.PlusMinus) {
		return nil
	}
	b, a = f.closed(b), f.closed(a)
	if formula.HasSum(b) || formula.HasSum(a) || formula.HasOpenIndex(b) || formula.HasOpenIndex(a) {
		return line{probe: f.probe, from: b, to: a}.textual()
	}
	m := budget.New(f.limits)
	scope, err := formula.NewScope(f.vars, m, b, a)
	if err != nil {
		return nil
	}
	l := newLine(scope, f.probe, b, a)
	if l.same() {
		return nil
	}
	return ended(l.search(), m)
}

// dotsIndex is the name that formula.CloseAllDots gives to the index.
const dotsIndex = "•"

// closed is a tree in which sums with dots have an index of their own, which
// can be read again.
func (f *Finder) closed(n *syntax.Node) *syntax.Node {
	taken := map[string]bool{}
	everywhere(n, func(k *syntax.Node) *syntax.Node { taken[k.Text] = true; return k })
	closed := formula.CloseAllDots(n, f.cycle)
	for _, index := range []string{"i", "j", "k", "m"} {
		if taken[index] {
			continue
		}
		return everywhere(closed, func(k *syntax.Node) *syntax.Node {
			if (k.Kind == syntax.Name || k.Kind == syntax.BigSum) && k.Text == dotsIndex {
				k.Text = index
			}
			return k
		})
	}
	return closed
}

// Integers names the slip, or the two slips, whose solution set the answer
// is. The answer must not be the right one.
func (f *Finder) Integers(solve, unknowns []string, answer string) []*Slip {
	if f.probe == nil {
		return nil
	}
	w := integers{finder: f, unknowns: unknowns, answer: answer, left: new(int)}
	*w.left = maxCandidates
	for _, text := range solve {
		n, ok := f.read(text)
		if !ok {
			return nil
		}
		w.solve = append(w.solve, n)
	}
	if !w.parse() {
		return nil
	}
	return w.search()
}
