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
	limits budget.Limits
}

// NewFinder is a finder for a setting, which must be one that
// algebra.NewQuestion accepts; for another one it finds nothing. limits bound
// the work on one answer for polynomials, and on one solution set for whole
// numbers.
func NewFinder(vars []algebra.Declared, givens []string, limits budget.Limits) *Finder {
	f := &Finder{limits: limits}
	ranges := map[string]formula.Range{"integer": formula.Integer, "positive integer": formula.PositiveInteger}
	for _, v := range vars {
		if r, ok := f.read(v.Name); ok {
			f.vars = append(f.vars, formula.Variable{Name: syntax.Plain(r), Range: ranges[v.Range]})
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

// SquareForm names the slip that makes the answer out of the expression, or
// returns nil.
func (f *Finder) SquareForm(expression, answer string) *Slip {
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
	s, ok := newSquares(scope, e, a)
	if !ok || scope.Ring.Equal(s.want, s.got) {
		return nil
	}
	for _, slip := range Catalogue() {
		if slip.square != nil && slip.ArisesFor(SquareForm) && slip.square(s) && !m.Exhausted() {
			return slip
		}
	}
	return nil
}

// Step names the slip that makes one line of a chain out of the line before,
// or returns nil.
func (f *Finder) Step(before, after string) *Slip {
	m := budget.New(f.limits)
	b, okB := f.read(before)
	a, okA := f.read(after)
	if !okB || !okA || f.probe == nil {
		return nil
	}
	scope, err := formula.NewScope(f.vars, m, b, a)
	if err != nil {
		return nil
	}
	l, ok := newLine(scope, b, a)
	if !ok || l.same() {
		return nil
	}
	l.probe = f.probe
	for _, slip := range Catalogue() {
		if !slip.ArisesFor(Steps) {
			continue
		}
		named := slip.line != nil && slip.line(l) || slip.square != nil && l.inOneSide(slip.square)
		if named && !m.Exhausted() {
			return slip
		}
	}
	return nil
}

// Integers names the slip whose solution set the answer is, or returns nil.
// The answer must not be the right one.
func (f *Finder) Integers(solve, unknowns []string, answer string) *Slip {
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
	for _, slip := range Catalogue() {
		if slip.whole != nil && slip.ArisesFor(Integers) && slip.whole(w) {
			return slip
		}
	}
	return nil
}
