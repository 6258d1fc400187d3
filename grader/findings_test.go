package grader

import (
	"os"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/grader/rubric"
)

type findingRow struct {
	Finding       string            `yaml:"finding"`
	Question      string            `yaml:"question"`
	Answer        string            `yaml:"answer"`
	FollowThrough bool              `yaml:"follow-through"`
	Moves         []string          `yaml:"moves"`
	Slips         []string          `yaml:"slips"`
	Rules         map[string]string `yaml:"rules"`
	Is            string            `yaml:"is"`
}

func texts(list []string) []rubric.Text {
	var out []rubric.Text
	for _, s := range list {
		out = append(out, rubric.Plain(s))
	}
	return out
}

func TestFindings(t *testing.T) {
	data, err := os.ReadFile("testdata/findings.yaml")
	require.NoError(t, err)
	var rows []findingRow
	require.NoError(t, yaml.UnmarshalWithOptions(data, &rows, yaml.Strict()))
	m := evening(t)
	seen := map[string]bool{}
	for _, row := range rows {
		var q *question
		for _, other := range m.questions {
			if other.rubric.ID.Value == row.Question {
				q = other
			}
		}
		require.NotNil(t, q, row.Question)
		changed, settings := *q, *q.rubric
		settings.Rules = rubric.DefaultRules()
		for name, credit := range row.Rules {
			to := map[string]*rubric.Credit{
				"leap": &settings.Rules.Leap, "one-way": &settings.Rules.OneWay,
				"silent-link": &settings.Rules.SilentLink, "unreadable": &settings.Rules.Unreadable,
			}[name]
			require.NotNil(t, to, name)
			*to = rubric.Credit(credit)
		}
		changed.rubric = &settings
		answer := Answer{Text: row.Answer}
		if row.Answer == "MODEL" {
			answer = submitted(settings.Model)
		}
		var a judged
		if settings.Kind == rubric.Steps {
			a = changed.chain(answer.chain())
		} else {
			a = changed.single(answer.single())
		}
		f := a.fact(row.Finding, &rubric.Criterion{FollowThrough: row.FollowThrough, Moves: texts(row.Moves), Slips: texts(row.Slips)})
		assert.Equal(t, row.Is, f.degree.state(), "%s: %s: %s (%s)", row.Finding, row.Question, row.Answer, f.because)
		assert.Equal(t, f.degree.full(), f.because == "", "a sentence just where something is lost: %s: %s", row.Finding, row.Answer)
		seen[row.Finding+" "+string(settings.Kind)+" "+row.Is] = true
	}
	for _, info := range rubric.Findings {
		for _, k := range info.Kinds {
			if info.Earns {
				assert.True(t, seen[info.Code+" "+string(k)+" met"], "%s is never met for %s", info.Code, k)
				assert.True(t, seen[info.Code+" "+string(k)+" not met"], "%s is never missed for %s", info.Code, k)
			}
		}
	}
}

// The findings that a result carries are in the catalogue and arise for its
// kind.
func TestResultsUseTheCatalogue(t *testing.T) {
	m := evening(t)
	list := writtenAnswers(t)
	list = append(list, written{"widths", strings.Repeat("1,", MaxAnswerBytes)}, written{"chain", strings.Repeat("x > 0\n", MaxLines+1)})
	codes := map[string]bool{}
	for _, w := range list {
		q := m.one(w.Question, Answer{Text: w.Answer})
		for _, f := range q.Findings {
			info, known := rubric.FindingByCode(f.Code)
			assert.True(t, known, f.Code)
			assert.True(t, info.ArisesFor(rubric.Kind(q.Kind)), "%s for %s", f.Code, q.Kind)
			assert.Contains(t, []string{"met", "in part", "not met", "person"}, f.State)
			codes[f.Code] = true
		}
	}
	for _, code := range []string{"unanswered", "unreadable", "too-long", "unsettled", "slip", "line"} {
		assert.True(t, codes[code], code)
	}
}
