package check

import (
	"strings"

	"squaremark/algebra"
	"squaremark/grader"
	"squaremark/grader/rubric"
)

// wrongAnswers are answers made from a model answer by one change that usually
// spoils it. Whether it does is for the engine to say.
func wrongAnswers(q *rubric.Question, setting *algebra.Question) []grader.Answer {
	switch q.Kind {
	case rubric.Integers:
		return wrongSets(q, setting)
	case rubric.SquareForm:
		model := q.Model.Text.Value
		return []grader.Answer{
			{Text: "(" + model + ") + 1"},
			{Text: q.Expression.Value},
			{Text: "(" + model + ") + (" + q.Variables[0].Name.Value + ")^2"},
		}
	case rubric.Steps:
		return wrongChains(q)
	}
	return nil
}

// wrongSets are the solution set without its last member, with one more, and
// the condition itself.
func wrongSets(q *rubric.Question, setting *algebra.Question) []grader.Answer {
	list := []grader.Answer{{Text: strings.Join(texts(q.Solve), " and ")}}
	out := setting.Integers(texts(q.Solve), texts(q.Unknowns), nil)
	if n := len(out.Solutions); n > 0 && out.Infinite == "" {
		some := make([]string, n)
		for i, t := range out.Solutions {
			some[i] = strings.Join(t, ", ")
			if len(t) > 1 {
				some[i] = "(" + some[i] + ")"
			}
		}
		if n > 1 {
			list = append(list, grader.Answer{Text: strings.Join(some[:n-1], "; ")})
		}
		extra := make([]string, len(q.Unknowns))
		for i := range extra {
			extra[i] = "10007" // beyond what school questions have among their solutions
		}
		more := strings.Join(extra, ", ")
		if len(extra) > 1 {
			more = "(" + more + ")"
		}
		list = append(list, grader.Answer{Text: strings.Join(append(some, more), "; ")})
	}
	return list
}

// wrongChains are the first line alone, the model without its last line, and
// the model with every link turned the other way.
func wrongChains(q *rubric.Question) []grader.Answer {
	model := submitted(q.Model)
	n := len(model.Lines)
	if n < 2 {
		return nil
	}
	list := []grader.Answer{{Lines: model.Lines[:n-1]}, {Lines: model.Lines[:1]}}
	turned := map[string]string{"<=>": "=>", "=>": "<=", "<=": "=>"}
	if q.Start == "fact" {
		turned["<=>"] = "<="
	}
	away := make([]grader.Line, n)
	for i, l := range model.Lines {
		away[i] = grader.Line{Text: l.Text, Link: turned[l.Link]}
	}
	return append(list, grader.Answer{Lines: away})
}
