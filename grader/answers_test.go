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

func TestAnswersGolden(t *testing.T) {
	m := evening(t)
	var b strings.Builder
	for _, w := range writtenAnswers(t) {
		b.WriteString(tell(w, m.one(w.Question, Answer{Text: w.Answer})))
	}
	const golden = "testdata/answers.golden"
	if *update {
		require.NoError(t, os.WriteFile(golden, []byte(b.String()), 0o644))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	assert.Equal(t, string(want), b.String(), "run go test ./grader -run Golden -update and read what changed")
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
