package rubric

import (
	"math/big"
	"strings"

	"squaremark/algebra/source"
)

// Bounds on a quiz.
const (
	maxQuestions = 100
	maxVariables = 12
	maxCriteria  = 40
	maxExamples  = 40
	maxLines     = 60
)

// quiz reads the keys of the file.
func (l *loader) quiz(n *node) *Rubric {
	r := &Rubric{Total: new(big.Rat)}
	f, ok := l.open("quiz", n)
	if !ok {
		return r
	}
	if v := f.text("rubric"); !v.IsZero() && v.Value != "1" {
		l.add(l.badVersion(v))
	}
	r.Quiz, r.Title, r.Language = f.id("quiz"), f.text("title"), f.text("language")
	if r.Language.IsZero() {
		r.Language.Value = "en"
	} else if !isLanguage(r.Language.Value) {
		l.add(l.badLanguage(r.Language))
	}
	rules, hints := f.rules(DefaultRules()), f.hints(PlaceHints)
	list := f.kids["questions"]
	if list == nil {
		return r
	}
	if list.shape != sequence || len(list.kids) == 0 {
		l.add(l.wanted(list, "a list of questions"))
		return r
	}
	if len(list.kids) > maxQuestions {
		l.add(l.tooMany(list.at, "questions", len(list.kids), maxQuestions))
		return r
	}
	for _, k := range list.kids {
		if q := l.question(k, rules, hints); q != nil {
			r.Questions = append(r.Questions, q)
			r.Total.Add(r.Total, q.Total)
		}
	}
	if stated := f.marks("total", true); stated != nil && !l.failed() && stated.Cmp(r.Total) != 0 {
		l.add(l.wrongTotal(f.text("total"), r.Total, "the questions"))
	}
	return r
}

// isLanguage accepts the letters, digits and hyphens of a language tag (RFC
// 5646, section 2.1: subtags of 1 to 8 characters; the registry is not asked).
func isLanguage(tag string) bool {
	for i, part := range strings.Split(tag, "-") {
		if len(part) < 1 || len(part) > 8 || i == 0 && len(part) < 2 {
			return false
		}
		for _, r := range part {
			letter := r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z'
			if !letter && (i == 0 || r < '0' || r > '9') {
				return false
			}
		}
	}
	return true
}

// rules reads the rules of a mapping on top of those that hold without them.
func (f fields) rules(rules Rules) Rules {
	n := f.kids["rules"]
	if n == nil {
		return rules
	}
	g, ok := f.open("rules", n)
	if !ok {
		return rules
	}
	all := []string{string(Full), string(Half), string(Zero), string(Person)}
	for _, r := range []struct {
		key   string
		words []string
		to    *Credit
	}{
		{"leap", all, &rules.Leap},
		{"one-way", all, &rules.OneWay},
		{"silent-link", all, &rules.SilentLink},
		{"unreadable", []string{string(Zero), string(Person)}, &rules.Unreadable},
	} {
		if word := g.choice(r.key, r.words...); word != "" {
			*r.to = Credit(word)
		}
	}
	return rules
}

// oneAsked checks that a question asks for one of an extreme value and a case
// of equality.
func (l *loader) oneAsked(f fields) {
	var first Text
	for _, key := range []string{"least", "greatest", "equality"} {
		switch {
		case !f.has(key):
		case first.IsZero():
			first = f.keyAt[key]
		default:
			l.add(l.oneOf(f.keyAt[key], first))
		}
	}
	if first.IsZero() {
		l.add(l.missingKey(f.at, string(Values)+" question", "least"))
	}
}

// hints reads what feedback may give away.
func (f fields) hints(otherwise Hints) Hints {
	if word := f.choice("hints", string(NoHints), string(PlaceHints), string(MethodHints)); word != "" {
		return Hints(word)
	}
	return otherwise
}

// question reads one question.
func (l *loader) question(n *node, rules Rules, hints Hints) *Question {
	f, ok := l.open("question", n)
	if !ok {
		return nil
	}
	q := &Question{At: f.at, ID: f.id("id"), Prompt: f.text("prompt"), Givens: f.texts("givens"), Rules: f.rules(rules), Hints: f.hints(hints), Total: new(big.Rat)}
	words := make([]string, len(Kinds))
	for i, k := range Kinds {
		words[i] = string(k)
	}
	q.Kind = Kind(f.choice("kind", words...))
	q.Variables = f.variables()
	if q.Kind == "" {
		return q
	}
	for _, k := range KeysOf("question") {
		if k.Only != "" && k.Only != q.Kind && f.has(k.Name) {
			l.add(l.keyOfOtherKind(f.keyAt[k.Name], k.Only, q.Kind))
		}
		if k.Needed == string(q.Kind) && !f.has(k.Name) {
			l.add(l.missingKey(f.at, string(q.Kind)+" question", k.Name))
		}
	}
	switch q.Kind {
	case Integers:
		q.Solve, q.Unknowns = f.texts("solve"), f.texts("unknowns")
		l.unknowns(f, q)
	case SquareForm:
		q.Expression = f.text("expression")
	case Values:
		q.Least, q.Greatest, q.Equality = f.text("least"), f.text("greatest"), f.text("equality")
		l.oneAsked(f)
	case Steps:
		q.Claim = f.text("claim")
		q.Start = f.choice("start", "claim", "fact")
	}
	if f.has("model") {
		q.Model = l.answer(f.kids["model"], q.Kind, "model")
	}
	f.marksOf(q)
	f.examplesOf(q)
	return q
}

// variables reads the variables with their ranges.
func (f fields) variables() []Variable {
	n := f.kids["variables"]
	if n == nil {
		return nil
	}
	if n.shape != mapping || len(n.keys) == 0 {
		f.add(f.wanted(n, "variables, such as x: real"))
		return nil
	}
	if len(n.keys) > maxVariables {
		f.add(f.tooMany(n.at, "variables", len(n.keys), maxVariables))
		return nil
	}
	ranges := []string{"real", "integer", "positive integer"}
	var list []Variable
	seen := map[string]Text{}
	for i, name := range n.keys {
		if other, twice := seen[name.Value]; twice {
			f.add(f.keyTwice(name, other))
			continue
		}
		seen[name.Value] = name
		t := f.textOf(n.kids[i], name.Value)
		if t.IsZero() {
			continue
		}
		if !contains(ranges, t.Value) {
			f.add(f.badChoice(t, "range of "+source.Shorten(name.Value, 20), ranges, nearest(t.Value, ranges)))
			continue
		}
		list = append(list, Variable{Name: name, Range: t.Value})
	}
	return list
}

// unknowns fills in the one variable of a question that names no unknowns,
// and checks that each unknown is a variable, once.
func (l *loader) unknowns(f fields, q *Question) {
	if !f.has("unknowns") {
		if len(q.Variables) == 1 {
			q.Unknowns = []Text{q.Variables[0].Name}
		} else if len(q.Variables) > 1 {
			l.add(l.missingKey(f.at, "question with several variables", "unknowns"))
		}
		return
	}
	var names []string
	for _, v := range q.Variables {
		names = append(names, v.Name.Value)
	}
	seen := map[string]Text{}
	for _, u := range q.Unknowns {
		if other, twice := seen[u.Value]; twice {
			l.add(l.idTwice(u, other, "unknown"))
		}
		seen[u.Value] = u
		if !contains(names, u.Value) {
			l.add(l.unknownUnknown(u, names))
		}
	}
}

// answer reads a model answer or the answer of an example.
func (l *loader) answer(n *node, kind Kind, key string) Answer {
	a := Answer{At: n.at}
	if kind != Steps {
		a.Text = l.textOf(n, key)
		return a
	}
	for _, t := range l.textsOf(n, key) {
		a.Lines = append(a.Lines, SplitLines(t)...)
	}
	if len(a.Lines) > maxLines {
		l.add(l.tooMany(n.at, "lines", len(a.Lines), maxLines))
	}
	return a
}
