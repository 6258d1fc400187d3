// Package algebra is the door to the engine: it judges a statement, an
// identity, the relation of two lines, a square form, an integer list and a
// chain of lines. Texts go in, outcomes with evidence come out; no verdict
// leaves without having been re-checked by the kernel in package evidence.
//
//	question.go    the setting: variables and assumptions
//	truth.go       statements and identities
//	series*.go     sums for every number of terms
//	relation.go    two lines against each other
//	squareform.go  sums of squares as answers
//	integers.go    integer solution sets
//	steps.go       chains
//	witness.go     points and proofs as text
//	recheck.go     stored evidence, checked again
//	results.go     what comes out
package algebra

import (
	"errors"
	"fmt"
	"regexp"

	"squaremark/algebra/budget"
	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
	"squaremark/algebra/source"
	"squaremark/algebra/syntax"
)

// Declared is a variable with its range: "real", "integer" or "positive
// integer". A name such as a_i declares a_1, a_2, and so on.
type Declared struct {
	Name  string
	Range string
}

// Question is the setting of one or more questions: the variables with their
// ranges and the assumptions, read once. A Question is immutable and may be
// used by many goroutines; each call gets a meter of its own.
type Question struct {
	vars   []formula.Variable
	assume []reading
	cycle  string // the length of the cycle round which families run, "" for none
	limits budget.Limits
}

// reading is a text with its tree, every sum in it written out. general marks
// a text that holds sums or indices for every number of terms; it has only
// the tree with its sums, those with dots closed.
type reading struct {
	field   string
	text    string
	root    *syntax.Node
	sums    *syntax.Node
	general bool
	notes   []*source.Diag
}

var ranges = map[string]formula.Range{
	"real": formula.Real, "": formula.Real,
	"integer":          formula.Integer,
	"positive integer": formula.PositiveInteger,
}

// maxVariables bounds the variables of one question.
const maxVariables = 80

// NewQuestion reads a setting. Errors: an unknown range, a name that is not a
// variable's name, an assumption that cannot be read or is not a formula.
func NewQuestion(vars []Declared, assume []string, limits budget.Limits) (*Question, *Unreadable) {
	q := &Question{limits: limits}
	if len(vars) > maxVariables {
		return nil, setting("variables", fmt.Sprintf("expected at most %d variables, found %d", maxVariables, len(vars)))
	}
	for _, v := range vars {
		r, ok := ranges[v.Range]
		if !ok {
			return nil, setting("variables", fmt.Sprintf("expected real, integer or positive integer for %s, found %q", v.Name, v.Range))
		}
		name, ok := variableName(v.Name, limits)
		if !ok {
			return nil, setting("variables", fmt.Sprintf("expected the name of a variable such as x or a_1, found %q", source.Shorten(v.Name, 20)))
		}
		q.vars = append(q.vars, formula.Variable{Name: name, Range: r})
	}
	q.cycle = cycleIn(assume, limits)
	for i, text := range assume {
		r, bad := q.read(fmt.Sprintf("assume[%d]", i), text, budget.New(limits))
		if bad != nil {
			return nil, bad
		}
		if r.general {
			q.assume = append(q.assume, r)
			continue
		}
		m := budget.New(limits)
		s, err := formula.NewScope(q.vars, m, r.root)
		if err == nil {
			_, err = s.Formula(r.root)
		}
		var diag *source.Diag
		if errors.As(err, &diag) {
			return nil, &Unreadable{Field: r.field, Diag: diag}
		}
		q.assume = append(q.assume, r)
	}
	return q, nil
}

func setting(field, message string) *Unreadable {
	return &Unreadable{Field: field, Diag: &source.Diag{Code: "setting", Message: message}}
}

// variableName is a declared name as the engine spells it.
func variableName(text string, limits budget.Limits) (string, bool) {
	if len(text) == 1 && ('a' <= text[0]|0x20 && text[0]|0x20 <= 'z') {
		return text, true
	}
	r, bad := syntax.Read(text, budget.New(limits))
	if bad != nil || r.Root.Kind != syntax.Name {
		return "", false
	}
	return syntax.Plain(r.Root), true
}

func (q *Question) read(field, text string, m *budget.Meter) (reading, *Unreadable) {
	r, bad := syntax.Read(text, m)
	if bad != nil {
		return reading{}, &Unreadable{Field: field, Diag: bad}
	}
	out := reading{field: field, text: text, root: r.Root, sums: r.Root, notes: r.Notes}
	if !formula.HasSum(r.Root) && !formula.HasOpenIndex(r.Root) {
		return out, nil
	}
	out.sums = formula.CloseAllDots(r.Root, q.cycle)
	root, err := formula.Expand(out.sums, formula.Setting{}, m)
	var diag *source.Diag
	switch {
	case err == nil:
		out.root = root
	case errors.As(err, &diag):
		return out, &Unreadable{Field: field, Diag: diag}
	default:
		out.general = true
	}
	return out, nil
}

// decimalCommas writes the commas between digits of a text as points where
// the text is one expression only so: 0,5(x - 3)^2. Places stay as they are.
func decimalCommas(text string, limits budget.Limits) string {
	if !tightComma.MatchString(text) {
		return text
	}
	if r, bad := syntax.Read(text, budget.New(limits)); bad != nil || r.Root.Kind != syntax.List {
		return text
	}
	pointed := tightComma.ReplaceAllString(text, "$1.$2")
	if r, bad := syntax.Read(pointed, budget.New(limits)); bad != nil || r.Root.Kind == syntax.List {
		return text
	}
	return pointed
}

var tightComma = regexp.MustCompile(`(\d),(\d)`)

// session is one call on a question: a meter, a scope for all its texts, and
// the assumptions lowered into it.
type session struct {
	*formula.Scope
	q     *Question
	meter *budget.Meter
	given *formula.Formula
	notes []*source.Diag
}

// open reads texts (field, text, field, text, ...) and lowers the assumptions.
func (q *Question) open(texts ...string) (*session, []reading, *Outcome) {
	m := budget.New(q.limits)
	readings := make([]reading, 0, len(texts)/2)
	trees := make([]*syntax.Node, 0, len(texts)/2+len(q.assume))
	var notes []*source.Diag
	for i := 0; i < len(texts); i += 2 {
		r, bad := q.read(texts[i], texts[i+1], m)
		if bad != nil {
			return nil, nil, &Outcome{Unreadable: bad, Reason: bad.Diag.Message}
		}
		if r.general {
			return nil, nil, &Outcome{Reason: "sums for every number of terms are not decided in this kind of question", general: true}
		}
		readings, trees, notes = append(readings, r), append(trees, r.root), append(notes, r.notes...)
	}
	s, out := q.enter(m, readings, trees)
	if out == nil {
		s.notes = notes
	}
	return s, readings, out
}

func (q *Question) enter(m *budget.Meter, readings []reading, trees []*syntax.Node) (*session, *Outcome) {
	for _, a := range q.assume {
		if a.general {
			return nil, &Outcome{Reason: "sums for every number of terms are not decided in this kind of question", general: true}
		}
		trees = append(trees, a.root)
	}
	scope, err := formula.NewScope(q.vars, m, trees...)
	if err != nil {
		// The assumptions were checked when the question was made, so the
		// mistake is in one of the texts: the first that fails alone.
		for _, r := range readings {
			if _, err := formula.NewScope(q.vars, m, r.root); err != nil {
				return nil, failed(r.field, err)
			}
		}
		return nil, failed("assume", err)
	}
	s := &session{Scope: scope, q: q, meter: m, given: formula.Always()}
	for _, a := range q.assume {
		st, err := scope.Formula(a.root)
		if err != nil {
			return nil, failed(a.field, err)
		}
		s.given = formula.And(s.given, st.Body)
	}
	return s, nil
}

// failed turns an error of lowering into an outcome: unreadable for a
// mistake of the writer, unsettled for what is not covered.
func failed(field string, err error) *Outcome {
	var diag *source.Diag
	if errors.As(err, &diag) {
		return &Outcome{Unreadable: &Unreadable{Field: field, Diag: diag}, Reason: diag.Message}
	}
	return &Outcome{Reason: err.Error()}
}

// defined is the statement that all these conditions hold.
func defined(domain []poly.Condition) *formula.Formula {
	parts := make([]*formula.Formula, len(domain))
	for i, c := range domain {
		parts[i] = formula.Condition(c)
	}
	return formula.And(parts...)
}
