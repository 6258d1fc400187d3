package grader

import (
	"regexp"
	"strings"

	"squaremark/algebra"
	"squaremark/algebra/budget"
	"squaremark/algebra/syntax"
	"squaremark/grader/rubric"
)

// valuesAnswer is an answer that tells an extreme value and where it is taken,
// or where equality holds.
type valuesAnswer struct {
	q     *question
	text  rubric.Text
	told  told
	value fact // right-value
	place fact // right-places
	some  fact // some-place
}

// told is what an answer says: a value, and a formula for the places.
type told struct{ value, place string }

var (
	separators = regexp.MustCompile(`(?i)[;\n]|,|\s+(at|for|when|where|if|with|and it is taken|is taken|bei|an der stelle|für|wenn|mit|wird angenommen)\s+`)
	valueName  = regexp.MustCompile(`(?i)^\s*(the\s+|der\s+)?(least|smallest|lowest|minimum|minimal|min|greatest|largest|maximum|maximal|max|kleinste[rs]?|größte[rs]?|minimale[rs]?|maximale[rs]?|extremwert|value|wert)(\s+(value|wert))?\s*(is|ist|of|von|:|=)*\s*`)
)

// tell takes an answer apart: parts without a variable are the value, the
// others are the place. A tuple with one number more than there are variables
// is a point of the graph. ok is false where two different values are told.
func (m *question) tell(text string) (out told, ok bool) {
	if n, bad := syntax.Read(text, budget.New(budget.Default())); bad == nil && n.Root.Kind == syntax.Tuple && len(n.Root.Kids) == len(m.rubric.Variables)+1 {
		var places []string
		for i, v := range m.rubric.Variables {
			places = append(places, v.Name.Value+" = "+syntax.Plain(n.Root.Kids[i]))
		}
		return told{syntax.Plain(n.Root.Kids[len(places)]), strings.Join(places, " and ")}, true
	}
	var places []string
	last := "" // a bare number behind a place: the value, if no other is told
	for _, part := range separators.Split(text, -1) {
		part = strings.TrimRight(strings.TrimSpace(part), ".")
		bare := valueName.ReplaceAllString(part, "")
		last = ""
		switch number := isNumber(bare); {
		case part == "":
		case number && (bare != part || len(places) == 0):
			if out.value != "" && m.probe.Identity(out.value, bare).Verdict != algebra.Holds {
				return out, false
			}
			out.value = bare
		case number && out.value == "":
			last = bare
			places = append(places, part)
		case !isExpression(part):
			places = append(places, part)
		}
	}
	if last != "" {
		out.value, places = last, places[:len(places)-1]
	}
	out.place = strings.Join(places, ", ")
	return out, true
}

// isNumber reports an expression without a variable.
func isNumber(text string) bool {
	n, bad := syntax.Read(text, budget.New(budget.Default()))
	return bad == nil && expression(n.Root) && !hasName(n.Root)
}

// isExpression reports an expression with variables: it tells no place.
func isExpression(text string) bool {
	n, bad := syntax.Read(text, budget.New(budget.Default()))
	return bad == nil && expression(n.Root) && hasName(n.Root)
}

func expression(n *syntax.Node) bool {
	switch n.Kind {
	case syntax.Number, syntax.Name, syntax.Neg, syntax.Plus, syntax.Add, syntax.Sub, syntax.Mul, syntax.Div, syntax.Pow, syntax.Root, syntax.Abs:
		return true
	}
	return false
}

func hasName(n *syntax.Node) bool {
	if n.Kind == syntax.Name {
		return true
	}
	for _, k := range n.Kids {
		if hasName(k) {
			return true
		}
	}
	return false
}

// extreme is the expression of which a least or greatest value is asked for,
// with the relation of every value to it.
func extreme(q *rubric.Question) (expression, relation string) {
	if q.Greatest.IsZero() {
		return q.Least.Value, ">="
	}
	return q.Greatest.Value, "<="
}

// equality is the formula that holds at the places asked for: the value is
// taken, or the two sides of the inequality are equal.
func (m *question) equality() string {
	q := m.rubric
	if q.Equality.IsZero() {
		expression, _ := extreme(q)
		return "(" + expression + ") = (" + m.model.value + ")"
	}
	n, bad := syntax.Read(q.Equality.Value, budget.New(budget.Default()))
	if bad != nil || n.Root.Kind != syntax.Relation {
		return q.Equality.Value
	}
	equal := *n.Root
	equal.Rels = append([]syntax.Rel(nil), equal.Rels...)
	for i := range equal.Rels {
		equal.Rels[i] = syntax.Eq
	}
	return syntax.Plain(&equal)
}

func (m *question) values(text rubric.Text) judged {
	a := &valuesAnswer{q: m, text: text}
	var ok bool
	if a.told, ok = m.tell(text.Value); !ok {
		a.told.value = ""
	}
	var bad *algebra.Unreadable
	if a.place, a.some, bad = m.placesAre(a.told.place); bad != nil {
		return m.say.unreadableAnswer(text, bad, m.rubric.Rules.Unreadable)
	}
	a.value = m.valueIs(a.told.value)
	if !m.rubric.Equality.IsZero() {
		a.value = a.place
	}
	return a
}

// valueIs compares a told value with that of the model answer.
func (m *question) valueIs(value string) fact {
	if value == "" || m.model.value == "" {
		return fact{degree: unmet, because: m.say.Say("no-value")}
	}
	switch out := m.engine.Identity(value, m.model.value); out.Verdict {
	case algebra.Holds:
		return fact{degree: met}
	case algebra.Unsettled:
		return fact{degree: withheld, because: m.say.unsettled(0, out.Reason)}
	}
	expression, relation := extreme(m.rubric)
	f := fact{degree: unmet, because: m.say.Say("value-not-taken", "value", value)}
	if out := m.probe.Truth("(" + expression + ") " + relation + " (" + value + ")"); out.Verdict == algebra.Fails && out.Witness != nil && out.Witness.Left != "" {
		f.because = m.say.Say("value-undercut", "value", value, "point", point(out.Witness), "other", out.Witness.Left)
		f.evidence = evidence(out.Evidence, out.Witness)
	}
	return f
}

// placesAre compares told places with those where equality holds: exactly
// these, and some of these without a wrong one.
func (m *question) placesAre(place string) (right, some fact, bad *algebra.Unreadable) {
	missing := fact{degree: unmet, because: m.say.Say("no-place")}
	if place == "" {
		return missing, missing, nil
	}
	out := m.engine.Relation(m.equality(), place)
	for _, part := range []algebra.Outcome{out.Forward, out.Backward} {
		if part.Unreadable != nil {
			return missing, missing, part.Unreadable
		}
	}
	wrong := fact{degree: unmet, because: m.say.Say("wrong-place")}
	switch back := out.Backward; {
	case back.Verdict == algebra.Unsettled || out.Forward.Verdict == algebra.Unsettled:
		open := fact{degree: withheld, because: m.say.unsettled(0, back.Reason+out.Forward.Reason)}
		return open, open, nil
	case back.Verdict == algebra.Fails:
		if w := back.Witness; w != nil && w.Left != "" && m.rubric.Equality.IsZero() {
			wrong.because = m.say.Say("wrong-place-at", "point", point(w), "value", w.Left)
		}
		wrong.evidence = evidence(back.Evidence, back.Witness)
		return wrong, wrong, nil
	case out.Forward.Verdict == algebra.Holds:
		return fact{degree: met}, fact{degree: met}, nil
	}
	if never := m.engine.Relation(place, "0 = 1"); never.Relation == algebra.Equivalent {
		return wrong, wrong, nil
	}
	return fact{degree: unmet, because: m.say.Say("not-all-places")}, fact{degree: met}, nil
}

func (a *valuesAnswer) understood() string {
	parts := []string{}
	for _, p := range []string{a.told.value, a.told.place} {
		if plain, ok := rubric.Understand(p); ok && p != "" {
			parts = append(parts, plain)
		}
	}
	return strings.Join(parts, "; ")
}

func (a *valuesAnswer) whole() (fact, bool) { return fact{}, false }
func (a *valuesAnswer) report() []Finding   { return []Finding{} }

func (a *valuesAnswer) fact(code string, _ *rubric.Criterion) fact {
	f := fact{degree: unmet}
	switch code {
	case "right-value":
		f = a.value
	case "right-places":
		f = a.place
	case "some-place":
		f = a.some
	}
	f.place = wholeAnswer(a.text)
	return f
}
