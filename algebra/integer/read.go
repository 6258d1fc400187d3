package integer

import (
	"math/big"
	"strings"

	"squaremark/algebra/budget"
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/source"
	"squaremark/algebra/syntax"
)

// Answer is a pupil's answer as a set.
type Answer struct {
	// IsSet is false for an answer that restates the question or is not yet
	// solved, such as (x - 1)^2 <= 4; Why says what was missed.
	IsSet bool
	Why   string
	// Set is what the answer describes. Members that were written out may lie
	// outside the range of an unknown.
	Set *Set
	// Listed says that every member was written out.
	Listed bool
	// Duplicates are written twice, NotIntegers are values of an unknown that
	// are not integers, as text.
	Duplicates  [][]*big.Int
	NotIntegers []string
	// Text is the answer as it was understood.
	Text string
}

// Read makes the answer a set. Its tree must have been given to the scope of
// the question. The solution set of the question tells the unknowns, their
// ranges, and what would restate it.
//
// Solved forms are: lists, sets and tuples of numbers, also with dots and ±;
// none; bounds of an unknown by numbers, intervals and memberships, joined by
// and, or, not; an unknown given by the others; two unknowns compared. |x|
// against a number counts as a bound unless the question itself has a
// modulus. Anything else is not an answer yet: x^2 <= 9 says what to solve,
// not what x is. Values that were written out are all counted; a bound is
// read within the range of the unknown, so that for positive n the answer
// n <= 4 means 1, 2, 3, 4.
//
// Errors: a *source.Diag for a mistake of the writer, a
// *formula.OutsideError or an *Unsettled for what is not decided.
func Read(root *syntax.Node, question *Set, m *budget.Meter) (*Answer, error) {
	r := &reader{scope: question.condition.scope, question: question, m: m}
	if err := r.subjects(); err != nil {
		return nil, err
	}
	list, ok, err := r.listing(root)
	if err != nil {
		return nil, err
	}
	if ok && r.full(list) {
		return r.listed(list)
	}
	return r.described(root)
}

type reader struct {
	scope    *formula.Scope
	question *Set
	names    []*syntax.Node
	m        *budget.Meter
}

// subjects makes a tree of each unknown's name.
func (r *reader) subjects() error {
	for _, name := range r.question.Unknowns {
		reading, diag := syntax.Read(name, r.m)
		if diag != nil {
			return diag
		}
		r.names = append(r.names, reading.Root)
	}
	return nil
}

// unknown is the place of the unknown that n names.
func (r *reader) unknown(n *syntax.Node) (int, bool) {
	for i, name := range r.names {
		if syntax.Equal(n, name) {
			return i, true
		}
	}
	return 0, false
}

// listed makes the set of tuples that were written out.
func (r *reader) listed(list []partial) (*Answer, error) {
	a := &Answer{IsSet: true, Listed: true}
	a.Set = &Set{Unknowns: r.question.Unknowns, Finite: true}
	seen := map[string]bool{}
	var texts []string
	for _, p := range list {
		tuple := make([]*big.Int, len(p))
		whole := true
		var values []string
		for i, v := range p {
			values = append(values, v.String())
			whole = whole && v.IsInteger()
			tuple[i] = v.Floor()
		}
		text := strings.Join(values, ", ")
		if len(values) > 1 {
			text = "(" + text + ")"
		}
		switch {
		case !whole:
			a.NotIntegers = append(a.NotIntegers, text)
		case seen[text]:
			a.Duplicates = append(a.Duplicates, tuple)
			continue
		default:
			a.Set.Tuples = append(a.Set.Tuples, tuple)
		}
		seen[text] = true
		texts = append(texts, text)
	}
	SortTuples(a.Set.Tuples)
	if a.Text = strings.Join(texts, ", "); len(texts) == 0 {
		a.Text = "none"
	}
	return a, r.exhausted()
}

func (r *reader) exhausted() error {
	if err := r.m.Err(); err != nil {
		return unsettled("%s", err)
	}
	return nil
}

// described makes the set of an answer that is a formula.
func (r *reader) described(root *syntax.Node) (*Answer, error) {
	n, err := r.statement(root)
	if err != nil {
		return nil, err
	}
	a := &Answer{Text: syntax.Plain(root)}
	if why := r.unsolved(n); why != "" {
		a.Why = why
		return a, nil
	}
	st, err := r.scope.Formula(n)
	if err != nil {
		return nil, err
	}
	if r.restates(st.Body) {
		a.Why = "the answer repeats a condition of the question"
		return a, nil
	}
	a.Set, err = Solve(r.scope, st.Body, r.question.condition.unknowns, r.m)
	if err != nil {
		return nil, err
	}
	a.IsSet = true
	if a.NotIntegers, err = r.notIntegers(st.Body); err != nil {
		return nil, err
	}
	return a, r.exhausted()
}

// partial gives some of the unknowns a value; nil stands for none.
type partial []*number.Num

func (r *reader) full(list []partial) bool {
	for _, p := range list {
		for _, v := range p {
			if v == nil {
				return false
			}
		}
	}
	return true
}

func mistake(n *syntax.Node, hint, message string) error {
	return &source.Diag{Code: "answer", At: n.At, Text: source.Shorten(syntax.Plain(n), 40), Message: message, Hint: hint}
}
