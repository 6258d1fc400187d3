package grader

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/algebra/source"
	"squaremark/grader/rubric"
	"squaremark/grader/wording"
)

// evening is the marker of the test quiz.
func evening(t testing.TB) *Marker {
	t.Helper()
	r, diags := rubric.LoadFile("testdata/evening.yaml")
	require.Empty(t, diags)
	m, diags := Compile(r)
	require.NotNil(t, m, source.Print(diags, nil))
	return m
}

type written struct {
	Question string `yaml:"question"`
	Answer   string `yaml:"answer"`
}

func writtenAnswers(t testing.TB) []written {
	t.Helper()
	data, err := os.ReadFile("testdata/answers.yaml")
	require.NoError(t, err)
	var list []written
	require.NoError(t, yaml.Unmarshal(data, &list))
	require.NotEmpty(t, list)
	return list
}

// one marks one answer alone.
func (m *Marker) one(id string, a Answer) QuestionResult {
	out := m.Grade(Submission{Quiz: m.rubric.Quiz.Value, Answers: map[string]Answer{id: a}})
	for _, q := range out.Questions {
		if q.ID == id {
			return q
		}
	}
	return QuestionResult{}
}

// tell shows a result as a teacher would read it.
func tell(w written, q QuestionResult) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n", w.Question, strings.ReplaceAll(strings.TrimSpace(w.Answer), "\n", " | "))
	fmt.Fprintf(&b, "  %s of %s", q.Marks.RatString(), q.Total.RatString())
	for _, c := range q.Criteria {
		mark := c.Awarded.RatString()
		if c.NeedsPerson {
			mark = "?"
		}
		fmt.Fprintf(&b, ", %s %s", c.ID, mark)
	}
	b.WriteByte('\n')
	for _, f := range q.Findings {
		if f.Code == "line" || f.Code == "slip" {
			detail, _, _ := strings.Cut(f.Detail, ":") // which move is the engine's affair
			fmt.Fprintf(&b, "  %s %s%s\n", f.Code, at(f.Place), detail)
		}
	}
	for _, f := range q.Feedback {
		name := f.Criterion
		if name == "" {
			name = "all"
		}
		fmt.Fprintf(&b, "  - %s: %s%s\n", name, at(f.Place), f.Sentence)
	}
	return b.String()
}

func at(p *Place) string {
	if p == nil {
		return ""
	}
	if p.ChainLine > 0 {
		return fmt.Sprintf("[line %d, %d:%d] ", p.ChainLine, p.Line, p.Column)
	}
	return fmt.Sprintf("[%d:%d] ", p.Line, p.Column)
}

// The same answers in every language: the marks are the same, the sentences
// are those of the golden file of the language.
func TestAnswersGolden(t *testing.T) {
	for _, row := range []struct{ language, golden string }{{"en", "testdata/answers.golden"}, {"de", "testdata/answers.de.golden"}} {
		m := evening(t)
		for _, q := range m.questions {
			q.say = voice{wording.For(row.language)}
		}
		var b strings.Builder
		for _, w := range writtenAnswers(t) {
			b.WriteString(tell(w, m.one(w.Question, Answer{Text: w.Answer})))
		}
		if *update {
			require.NoError(t, os.WriteFile(row.golden, []byte(b.String()), 0o644))
		}
		want, err := os.ReadFile(row.golden)
		require.NoError(t, err)
		assert.Equal(t, string(want), b.String(), "run go test ./grader -run Golden -update and read what changed")
	}
}

// A quiz in German is marked with German sentences.
func TestLanguageOfTheRubric(t *testing.T) {
	r, diags := rubric.Load("x.yaml", []byte("{rubric: 1, quiz: q, language: de-AT, questions: [{id: a, kind: square-form, prompt: p, variables: {x: real}, expression: x^2 - 6x + 14, model: (x - 3)^2 + 5}]}"))
	require.NotNil(t, r, "%v", diags)
	m, diags := Compile(r)
	require.Empty(t, diags)
	got := m.one("a", Answer{Text: "(x - 3)^2 + 14"})
	require.Len(t, got.Feedback, 1)
	assert.Equal(t, "Für x = 0 hat der Term den Wert 14, die Antwort aber den Wert 23; genau das kommt heraus, wenn die Zahl, die das Quadrat hinzubringt, nicht wieder abgezogen wird.", got.Feedback[0].Sentence)
	r, diags = rubric.Load("x.yaml", []byte("{rubric: 1, quiz: q, language: nl, questions: [{id: a, kind: square-form, prompt: p, variables: {x: real}, expression: x^2 - 6x + 14, model: (x - 3)^2 + 5}]}"))
	require.NotNil(t, r, "%v", diags)
	_, diags = Compile(r)
	require.Len(t, diags, 1)
	assert.Equal(t, "no-sentences", diags[0].Code)
}

// What feedback gives away is the rubric's choice.
func TestHints(t *testing.T) {
	m := evening(t)
	for _, row := range []struct {
		hints rubric.Hints
		want  []string
	}{
		{rubric.PlaceHints, []string{"At x = 0 the expression is 61, but the answer is 111; this is what comes out when the number that the square brings in is not taken away again."}},
		{rubric.NoHints, []string{`The mark "equal" is not earned.`}},
		{rubric.MethodHints, []string{
			"At x = 0 the expression is 61, but the answer is 111; this is what comes out when the number that the square brings in is not taken away again.",
			"A way that works: take the leading coefficient out, put half of the middle coefficient beside the unknown, and take away the number that this square brings in.",
		}},
	} {
		for _, q := range m.questions {
			if q.rubric.ID.Value != "cost" {
				continue
			}
			settings := *q.rubric
			settings.Hints, settings.Marks = row.hints, q.rubric.Marks[:1]
			changed := *q
			changed.rubric = &settings
			var got []string
			for _, f := range changed.grade(Answer{Text: "2(x - 5)^2 + 61"}, true).Feedback {
				got = append(got, f.Sentence)
			}
			assert.Equal(t, row.want, got, row.hints)
			assert.Empty(t, changed.grade(Answer{Text: "2(x - 5)^2 + 11"}, true).Feedback, "nothing is lost")
		}
	}
}

// Each lost mark has one sentence, in words that do not show the model answer.
func TestSentences(t *testing.T) {
	m := evening(t)
	for _, w := range writtenAnswers(t) {
		q := m.one(w.Question, Answer{Text: w.Answer})
		lost := 0
		for _, c := range q.Criteria {
			if c.Awarded.Cmp(c.Of) != 0 {
				lost++
			}
			assert.NotEmpty(t, c.Because, "%s: %s", w.Question, w.Answer)
		}
		if len(q.Feedback) == 1 && q.Feedback[0].Criterion == "" {
			assert.Equal(t, len(q.Criteria), lost, "one sentence for the whole answer")
		} else {
			assert.Len(t, q.Feedback, lost, "%s: %s", w.Question, w.Answer)
		}
		for _, f := range q.Feedback {
			assert.True(t, strings.HasSuffix(f.Sentence, "."), f.Sentence)
			assert.NotContains(t, strings.TrimSuffix(f.Sentence, "."), ". ", "one sentence")
			for _, other := range m.questions {
				if other.rubric.ID.Value != w.Question {
					continue
				}
				model := other.rubric.Model.Text.Value
				if n := len(other.rubric.Model.Lines); n > 0 {
					model = other.rubric.Model.Lines[n-1].Text.Value
				}
				assert.NotContains(t, f.Sentence, model, "%s", w.Answer)
			}
		}
	}
}
