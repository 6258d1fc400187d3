package grader

import (
	"squaremark/algebra"
	"squaremark/algebra/source"
	"squaremark/grader/rubric"
	"squaremark/grader/slip"
	"squaremark/grader/wording"
)

// Marker marks submissions to one quiz. It is immutable and may be used by
// many goroutines at once.
type Marker struct {
	rubric    *rubric.Rubric
	questions []*question
}

// question is a question made ready for marking.
type question struct {
	rubric    *rubric.Question
	engine    Engine
	probe     Engine  // the same setting with less work
	origin    Engine  // square-form: all variables are zero
	slips     slipper // names the slip behind a wrong answer
	remaining string  // square-form: the constant of the model answer
	model     told    // values: what the model answer tells
	say       voice   // the language of the rubric
}

// slipper names the slip behind a wrong answer, or the two slips.
type slipper interface {
	Integers(solve, unknowns []string, answer string) []*slip.Slip
	SquareForm(expression, answer string) []*slip.Slip
	Step(label algebra.Label, before, after string) []*slip.Slip
}

// Rubric is the rubric that the marker marks by.
func (m *Marker) Rubric() *rubric.Rubric { return m.rubric }

// Compile makes a rubric ready for marking and checks it as Check does. The
// marker is nil where there are errors.
func Compile(r *rubric.Rubric) (*Marker, []*source.Diag) {
	m, diags := prepare(r)
	if m == nil {
		return nil, diags
	}
	diags = append(diags, m.check()...)
	source.Sort(diags)
	for _, d := range diags {
		if d.Severity == source.Error {
			return nil, diags
		}
	}
	return m, diags
}

// Check tells what is wrong with a well-formed rubric: claims that are false,
// model answers that do not earn full marks, integer keys that are not the
// solution set, examples that get other marks than stated, marks that no
// answer in the file earns. Cost: that of marking the model answers and the
// examples.
func Check(r *rubric.Rubric) []*source.Diag {
	_, diags := Compile(r)
	return diags
}

// prepare makes the questions; the marker is nil where one cannot be made.
func prepare(r *rubric.Rubric) (*Marker, []*source.Diag) {
	m := &Marker{rubric: r}
	c := &checker{file: r.File}
	for _, q := range r.Questions {
		made := c.prepare(q)
		if made != nil {
			made.say = voice{wording.For(r.Language.Value)}
		}
		m.questions = append(m.questions, made)
	}
	if len(c.diags) > 0 {
		return nil, c.diags
	}
	return m, nil
}

func (c *checker) prepare(q *rubric.Question) *question {
	vars, givens := declared(q), values(q.Givens)
	engine, bad := algebra.NewQuestion(vars, givens, limits())
	if bad != nil {
		c.unreadableSetting(q, bad)
		return nil
	}
	probe, bad := algebra.NewQuestion(vars, givens, probing())
	if bad != nil {
		c.unreadableSetting(q, bad)
		return nil
	}
	made := &question{rubric: q, engine: engine, probe: probe, slips: slip.NewFinder(vars, givens, probing())}
	if q.Kind == rubric.Values {
		made.model, _ = made.tell(q.Model.Text.Value)
	}
	if q.Kind == rubric.SquareForm {
		made.remaining = engine.SquareForm(q.Expression.Value, q.Model.Text.Value).Remaining
		at := make([]string, len(vars))
		free := make([]algebra.Declared, len(vars))
		for i, v := range vars {
			at[i] = v.Name + " = 0"
			free[i] = algebra.Declared{Name: v.Name, Range: "real"}
		}
		if origin, bad := algebra.NewQuestion(free, at, limits()); bad == nil {
			made.origin = origin
		}
	}
	return made
}
