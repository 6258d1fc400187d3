package grader

import (
	"fmt"
	"slices"
	"strings"

	"squaremark/algebra"
	"squaremark/algebra/move"
	"squaremark/algebra/source"
	"squaremark/grader/rubric"
	"squaremark/grader/slip"
	"squaremark/grader/wording"
)

// checker collects what is wrong with the mathematics of a rubric.
type checker struct {
	file  string
	diags []*source.Diag
}

func (c *checker) add(severity source.Severity, code string, at source.Span, text, hint, format string, args ...any) {
	c.diags = append(c.diags, &source.Diag{
		Severity: severity, Code: code, File: c.file, At: at, Text: source.Shorten(text, shown),
		Message: fmt.Sprintf(format, args...), Hint: hint,
	})
}

// fault tells a fault inside a text of the rubric.
func (c *checker) fault(t rubric.Text, bad *algebra.Unreadable) {
	d := t.Fault(bad.Diag)
	d.File, d.Severity = c.file, source.Error
	c.diags = append(c.diags, d)
}

// unreadableSetting tells a variable or a given that cannot be used.
func (c *checker) unreadableSetting(q *rubric.Question, bad *algebra.Unreadable) {
	var i int
	if _, err := fmt.Sscanf(bad.Field, "assume[%d]", &i); err == nil && i < len(q.Givens) {
		c.fault(q.Givens[i], bad)
		return
	}
	c.add(source.Error, bad.Diag.Code, q.At, "", bad.Diag.Hint, "%s", bad.Diag.Message)
}

// check compares every question with its model answer and its examples.
func (m *Marker) check() []*source.Diag {
	c := &checker{file: m.rubric.File}
	if tag := m.rubric.Language; !wording.IsKnown(tag.Value) {
		c.add(source.Warning, "no-sentences", tag.At(), tag.Value, "the prompts may be in any language; feedback knows en and de",
			"there are no sentences in the language %q, so feedback is in English", source.Shorten(tag.Value, shown))
	}
	for _, q := range m.questions {
		before := len(c.diags)
		c.givens(q)
		c.names(q)
		switch q.rubric.Kind {
		case rubric.Integers:
			c.key(q)
		case rubric.SquareForm:
			c.square(q)
		case rubric.Steps:
			c.claim(q)
		case rubric.Values:
			c.values(q)
		}
		if len(c.diags) == before {
			c.examples(q)
		}
	}
	return c.diags
}

// givens checks that the givens can hold together.
func (c *checker) givens(q *question) {
	if len(q.rubric.Givens) == 0 {
		return
	}
	if out := q.engine.Truth("0 = 1"); out.Verdict == algebra.Holds {
		c.add(source.Error, "givens-contradict", q.rubric.Givens[0].At(), "", "change one of them",
			"expected givens that can hold together, found that they contradict each other")
	}
}

// names checks the slips and the moves that criteria name.
func (c *checker) names(q *question) {
	var slips, moves []string
	for _, s := range slip.Catalogue() {
		if s.ArisesFor(string(q.rubric.Kind)) {
			slips = append(slips, s.ID)
		}
	}
	for _, m := range move.Catalogue {
		moves = append(moves, m.ID)
	}
	for _, mark := range q.rubric.Marks {
		for _, list := range []struct {
			what  string
			given []rubric.Text
			known []string
		}{{"slip", mark.Slips, slips}, {"move", mark.Moves, moves}} {
			for _, t := range list.given {
				if !slices.Contains(list.known, t.Value) {
					c.add(source.Error, "unknown-"+list.what, t.At(), t.Value, rubric.DidYouMean(t.Value, list.known),
						"expected a %s of the catalogue that arises for %s, found %q", list.what, q.rubric.Kind, source.Shorten(t.Value, shown))
				}
			}
		}
	}
}

// key checks that the model answer is the solution set.
func (c *checker) key(q *question) {
	r := q.rubric
	out := q.engine.Integers(values(r.Solve), values(r.Unknowns), &r.Model.Text.Value)
	model := r.Model.Text
	switch {
	case out.Unreadable != nil:
		c.fault(integersField(r, out.Unreadable.Field), out.Unreadable)
	case out.Verdict == algebra.Unsettled:
		c.add(source.Error, "unsettled", r.Solve[0].At(), "", "ask for something that the engine can settle, or leave the question to a person",
			"expected a condition whose whole solutions can be found, but the engine came to no answer: %s", ended(out.Reason))
	case out.Verdict == algebra.Fails && !out.AnswerIsSet:
		c.add(source.Error, "wrong-key", model.At(), model.Value, "", "expected a list of the solutions, found the condition again")
	case out.Verdict == algebra.Fails:
		c.add(source.Error, "wrong-key", model.At(), model.Value, "", "expected the solution set, found another set: %s", differences(out))
	}
}

// integersField is the text of a rubric that a field of the facade's
// Integers stands for.
func integersField(r *rubric.Question, field string) rubric.Text {
	var i int
	if _, err := fmt.Sscanf(field, "solve[%d]", &i); err == nil && i < len(r.Solve) {
		return r.Solve[i]
	}
	if strings.HasPrefix(field, "unknowns") {
		return r.Unknowns[0]
	}
	if strings.HasPrefix(field, "solve") {
		return r.Solve[0]
	}
	return r.Model.Text
}

// differences names what is missing from a key and what is extra, at most
// four of each.
func differences(out algebra.IntegersOutcome) string {
	var parts []string
	for _, side := range []struct {
		what, text string
		list       []algebra.Tuple
	}{{"missing", out.MissingText, out.Missing}, {"no solution", out.ExtraText, out.Extra}} {
		if side.text != "" {
			parts = append(parts, side.what+": "+side.text)
			continue
		}
		var some []string
		for _, t := range side.list[:min(len(side.list), 4)] {
			text := strings.Join(t, ", ")
			if len(t) > 1 {
				text = "(" + text + ")"
			}
			some = append(some, text)
		}
		if more := len(side.list) - len(some); more > 0 {
			some = append(some, fmt.Sprintf("and %d more", more))
		}
		if len(some) > 0 {
			parts = append(parts, side.what+": "+strings.Join(some, ", "))
		}
	}
	return strings.Join(parts, "; ")
}

// square checks that the model answer equals the expression and has the form.
func (c *checker) square(q *question) {
	r := q.rubric
	out := q.engine.SquareForm(r.Expression.Value, r.Model.Text.Value)
	model := r.Model.Text
	switch {
	case out.Unreadable != nil && out.Unreadable.Field == "expression":
		c.fault(r.Expression, out.Unreadable)
	case out.Unreadable != nil:
		c.fault(model, out.Unreadable)
	case out.Verdict == algebra.Unsettled:
		c.add(source.Error, "unsettled", model.At(), model.Value, "", "the engine cannot tell whether the model answer equals the expression: %s", ended(out.Reason))
	case out.Verdict == algebra.Fails:
		c.add(source.Error, "not-equal", model.At(), model.Value, "", "expected an answer that equals the expression%s", compared(out.Witness, "the expression", "the answer"))
	case !out.IsSquareForm:
		c.add(source.Error, "not-square-form", model.At(), model.Value, "", "expected multiples of squares, all of one sign, plus a constant: %s", ended(out.Shape))
	}
}

func compared(w *algebra.Witness, left, right string) string {
	if w == nil {
		return ""
	}
	if w.Left == "" {
		return ", but at " + point(w) + " it is not so"
	}
	return fmt.Sprintf(", but at %s %s is %s and %s is %s", point(w), left, w.Left, right, w.Right)
}

// examples marks the model answer and the examples.
func (c *checker) examples(q *question) {
	r := q.rubric
	earned := map[string]bool{}
	note := func(out QuestionResult) {
		for _, cr := range out.Criteria {
			if cr.Awarded.Sign() > 0 {
				earned[cr.ID] = true
			}
		}
	}
	model := q.grade(submitted(r.Model), true)
	note(model)
	if model.Marks.Cmp(r.Total) != 0 {
		c.add(source.Error, "model-not-full", r.Model.At, "", "change the model answer or the mark scheme",
			"expected a model answer that earns all %s marks, it gets %s: %s", rubric.MarksText(r.Total), rubric.MarksText(model.Marks), lost(model))
	}
	for _, e := range r.Examples {
		out := q.grade(submitted(e.Answer), true)
		note(out)
		if out.Marks.Cmp(e.Marks) != 0 {
			c.add(source.Error, "example-marks", e.MarksAt, rubric.MarksText(e.Marks), "change the marks of the example or the mark scheme",
				"expected this example to get %s marks, it gets %s: %s", rubric.MarksText(e.Marks), rubric.MarksText(out.Marks), reasons(out))
		}
	}
	for _, mark := range r.Marks {
		if !earned[mark.ID.Value] {
			c.add(source.Warning, "never-earned", markAt(r, mark), mark.ID.Value, "add an example that earns it",
				"neither the model answer nor an example earns the mark %q", mark.ID.Value)
		}
	}
}

// markAt is the place of a criterion, or of the question for a default one.
func markAt(r *rubric.Question, mark *rubric.Criterion) source.Span {
	if mark.At.Start.IsZero() {
		return r.At
	}
	return mark.At
}

// submitted is an answer of the rubric as a pupil would send it.
func submitted(a rubric.Answer) Answer {
	out := Answer{Text: a.Text.Value}
	for _, l := range a.Lines {
		out.Lines = append(out.Lines, Line{Text: l.Text.Value, Link: l.Link})
	}
	return out
}

// lost tells which marks an answer does not earn, and why.
func lost(out QuestionResult) string {
	var parts []string
	for _, cr := range out.Criteria {
		if cr.Awarded.Cmp(cr.Of) != 0 {
			parts = append(parts, cr.ID+" "+rubric.MarksText(cr.Awarded)+" of "+rubric.MarksText(cr.Of)+" ("+ended(cr.Because)+")")
		}
	}
	return strings.Join(parts, "; ")
}

// reasons tells for every criterion what it gave.
func reasons(out QuestionResult) string {
	if text := lost(out); text != "" {
		return text
	}
	return "every mark is earned"
}
