package draft

import (
	"fmt"
	"slices"
	"strings"

	"squaremark/algebra"
	"squaremark/algebra/budget"
	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// setting is what is asked, with its variables and givens, read and lowered.
type setting struct {
	kind   string
	text   string // as people write it
	vars   []algebra.Declared
	givens []string
	root   *syntax.Node
	engine *algebra.Question
	scope  *formula.Scope
}

// question is a setting with everything that a rubric says about it.
type question struct {
	*setting
	id       string
	unknowns []string       // integers
	model    []algebra.Line // steps: the chain; else one line
	worked   []line         // the solution as a teacher would write it on the board
	remarks  []wording      // why the last line holds, the equality case, the least value
	mistakes []attempt
	examples []attempt
	parts    *decomposition // steps, square-form
	sides    *sides         // steps
}

// line is a line of a worked solution.
type line struct{ link, text string }

// limits of a draft are wider than those of one answer.
func limits() budget.Limits {
	l := budget.Default()
	l.Work *= 10
	return l
}

// newSetting reads a text with its variables and givens. The kind is that of
// the text where it is not said: an expression is brought to square form, a
// condition in which some variable is whole is solved, any other is a claim.
func newSetting(text, kind string, variables, givens []string) (*setting, error) {
	if kind != "" && !slices.Contains([]string{"steps", "square-form", "integers"}, kind) {
		return nil, fmt.Errorf("expected the kind steps, square-form or integers, found %q", kind)
	}
	s := &setting{kind: kind, text: strings.TrimSpace(text), givens: givens}
	trees := []*syntax.Node{}
	for i, t := range append([]string{text}, givens...) {
		r, bad := syntax.Read(t, budget.New(limits()))
		if bad != nil {
			what := "the text"
			if i > 0 {
				what = fmt.Sprintf("given %d", i)
			}
			return nil, fmt.Errorf("%s cannot be read at %s: %s", what, bad.At.Start, bad.Message)
		}
		trees = append(trees, r.Root)
	}
	s.root = trees[0]
	if err := s.declare(variables, trees); err != nil {
		return nil, err
	}
	if s.kind == "" {
		s.kind = s.guess()
	}
	if s.kind == "integers" {
		for i := range s.vars {
			if s.vars[i].Range == "real" {
				s.vars[i].Range = "integer"
			}
		}
	}
	engine, bad := algebra.NewQuestion(s.vars, givens, limits())
	if bad != nil {
		return nil, fmt.Errorf("%s: %s", bad.Field, bad.Diag.Message)
	}
	s.engine = engine
	scope, err := formula.NewScope(s.lowered(), budget.New(limits()), s.root)
	if err != nil {
		return nil, err
	}
	s.scope = scope
	return s, nil
}

// declare gives every name its range.
func (s *setting) declare(variables []string, trees []*syntax.Node) error {
	for _, v := range variables {
		names, rng, said := strings.Cut(v, ":")
		rng = strings.Join(strings.Fields(rng), " ")
		if !said || !slices.Contains([]string{"real", "integer", "positive integer"}, rng) {
			return fmt.Errorf("expected variables such as \"n: integer\", \"p, q: positive integer\" or \"x: real\", found %q", v)
		}
		for _, name := range strings.Split(names, ",") {
			s.vars = append(s.vars, algebra.Declared{Name: strings.TrimSpace(name), Range: rng})
		}
	}
	for _, tree := range trees {
		for _, name := range inOrder(tree) {
			if !slices.ContainsFunc(s.vars, func(d algebra.Declared) bool { return d.Name == name }) {
				s.vars = append(s.vars, algebra.Declared{Name: name, Range: "real"})
			}
		}
	}
	if len(s.vars) == 0 {
		return fmt.Errorf("expected a text with a variable, found %q", s.text)
	}
	return nil
}

// inOrder lists the names of a tree in the order of the alphabet.
func inOrder(n *syntax.Node) []string {
	return slices.Sorted(slices.Values(formula.NamesIn(n)))
}

func (s *setting) guess() string {
	switch {
	case s.root.Kind != syntax.Relation && s.root.Kind != syntax.And && s.root.Kind != syntax.Or:
		return "square-form"
	case slices.ContainsFunc(s.vars, func(d algebra.Declared) bool { return d.Range != "real" }):
		return "integers"
	}
	return "steps"
}

func (s *setting) lowered() []formula.Variable {
	ranges := map[string]formula.Range{"integer": formula.Integer, "positive integer": formula.PositiveInteger}
	vars := make([]formula.Variable, len(s.vars))
	for i, v := range s.vars {
		vars[i] = formula.Variable{Name: v.Name, Range: ranges[v.Range]}
	}
	return vars
}

// work makes the question.
func (s *setting) work() (*question, error) {
	switch s.kind {
	case "square-form":
		return s.squareForm()
	case "integers":
		return s.integers()
	}
	return s.steps()
}

// maxDegree bounds the polynomials of a draft: school chains have few terms.
const maxDegree = 8

// fraction is a tree as a fraction of polynomials, without roots.
func (s *setting) fraction(n *syntax.Node) (formula.Fraction, error) {
	t, err := s.scope.Expression(n)
	if err != nil {
		return formula.Fraction{}, err
	}
	if len(s.scope.Symbols) > 0 {
		return formula.Fraction{}, fmt.Errorf("a draft is made of polynomials and fractions; there is a root or a modulus in %q", s.text)
	}
	if degree := max(t.Num.Degree(), t.Den.Degree()); degree > maxDegree {
		return formula.Fraction{}, fmt.Errorf("a draft is made of polynomials of degree %d at most, found degree %d", maxDegree, degree)
	}
	return t.Fraction, nil
}

// inequality is a claim with two sides and one sign.
func (s *setting) inequality() (left, right *syntax.Node, rel poly.Rel, err error) {
	n := s.root
	if n.Kind != syntax.Relation || len(n.Kids) != 2 || n.Kids[0].Kind == syntax.List || n.Kids[1].Kind == syntax.List {
		return nil, nil, 0, fmt.Errorf("expected a claim with one inequality sign, found %q", s.text)
	}
	rel = map[syntax.Rel]poly.Rel{syntax.Lt: poly.Lt, syntax.Le: poly.Le, syntax.Gt: poly.Gt, syntax.Ge: poly.Ge, syntax.Eq: poly.Eq, syntax.Ne: poly.Ne}[n.Rels[0]]
	if rel == poly.Eq || rel == poly.Ne {
		return nil, nil, 0, fmt.Errorf("expected a claim with one inequality sign, found %q", s.text)
	}
	return n.Kids[0], n.Kids[1], rel, nil
}
