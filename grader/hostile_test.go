package grader

import (
	"encoding/json"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// hostile are texts that no pupil types.
func hostile() map[string]string {
	return map[string]string{
		"tower":           "9^9^9",
		"tower in x":      "(x + 1)^9^9^9 >= 0",
		"factorial-like":  strings.Repeat("(x+1)*", 200) + "1",
		"deep":            strings.Repeat("(", 3000) + "x" + strings.Repeat(")", 3000),
		"deep fractions":  strings.Repeat("1/(1+", 500) + "x" + strings.Repeat(")", 500),
		"deep roots":      strings.Repeat("sqrt(", 300) + "x" + strings.Repeat(")", 300),
		"long number":     strings.Repeat("9", 5000),
		"huge":            strings.Repeat("x+", 5<<20) + "x",
		"null":            "x\x00 + 1",
		"not UTF-8":       "x \xff\xfe y",
		"look-alike":      "х² − 10х + 30 > 0", // Cyrillic letters
		"markup":          "<script>alert(1)</script>",
		"markup in LaTeX": `\input{/etc/passwd} \def\x{\x\x}\x`,
		"format":          "%s%n%d%!v",
		"right to left":   "\u202e0 > x",
		"links only":      "<=> => <= <=> =>",
		"many lines":      strings.Repeat("x > 0\n", 500),
		"relations":       strings.Repeat("x < ", 1000) + "x",
		"sum":             "sum(i=1..999999999, x^i)",
		"many terms":      "(x+y+z+a+b+c+n+p+q)^60",
		"power of sums":   "(x^2+x+1)^60 >= (x^3-x+7)^40",
		"big list":        strings.Repeat("1,", 1500) + "1",
		"wide interval":   "-10^50 <= n <= 10^50",
	}
}

// Whatever one answer holds, the others are marked as if it were not there.
func TestHostileAnswersDisturbNothing(t *testing.T) {
	m := evening(t)
	right := map[string]Answer{}
	for _, w := range writtenAnswers(t) {
		if q := m.one(w.Question, Answer{Text: w.Answer}); q.Marks.Cmp(q.Total) == 0 {
			right[w.Question] = Answer{Text: w.Answer}
		}
	}
	alone := m.Grade(Submission{Answers: right})
	require.Equal(t, 0, alone.Marks.Cmp(alone.Total), "every question has a right answer in the table")
	for name, text := range hostile() {
		for i, q := range m.questions {
			id := q.rubric.ID.Value
			for shape, bad := range map[string]Answer{"text": {Text: text}, "lines": {Lines: []Line{{Text: text}, {Text: text, Link: "<=>"}}}} {
				answers := map[string]Answer{}
				for k, v := range right {
					answers[k] = v
				}
				answers[id] = bad
				start := time.Now()
				out := m.one(id, bad)
				assert.Less(t, time.Since(start), 20*time.Second, "%s as %s", name, id)
				assert.NotEqual(t, 0, out.Marks.Cmp(out.Total), "%s as %s (%s) gets full marks", name, id, shape)
				for _, f := range out.Findings {
					assert.Less(t, len(f.Detail), 1000, "%s as %s", name, id)
					if f.Place != nil {
						assert.LessOrEqual(t, len([]rune(f.Place.Text)), shown+1)
					}
				}
				assert.Less(t, len(out.Understood), 2*MaxAnswerBytes)
				if i == len(name)%len(m.questions) && shape == "text" {
					all := m.Grade(Submission{Answers: answers})
					for j, other := range all.Questions {
						if other.ID != id {
							assert.Equal(t, alone.Questions[j], other, "%s as %s disturbs %s", name, id, other.ID)
						}
					}
				}
			}
		}
	}
}

func TestUnknownQuestionsAreNamed(t *testing.T) {
	m := evening(t)
	out := m.Grade(Submission{Answers: map[string]Answer{"b": {}, "a": {}, strings.Repeat("x", 500): {}}})
	require.Len(t, out.Ignored, 3)
	assert.Equal(t, []string{"a", "b"}, out.Ignored[:2])
	assert.Less(t, len(out.Ignored[2]), 100)
	many := map[string]Answer{}
	for i := 0; i < 500; i++ {
		many[fmt.Sprint("u", i)] = Answer{}
	}
	assert.Len(t, m.Grade(Submission{Answers: many}).Ignored, maxIgnored)
}

// The same submission gives the same bytes, in any order of answers, from
// many goroutines at once; marks stay between zero and the total.
func TestGradeIsAPureFunction(t *testing.T) {
	m := evening(t)
	list := writtenAnswers(t)
	ids := map[string][]string{}
	for _, w := range list {
		ids[w.Question] = append(ids[w.Question], w.Answer)
	}
	var names []string
	for _, q := range m.questions {
		names = append(names, q.rubric.ID.Value)
	}
	rapid.Check(t, func(rt *rapid.T) {
		chosen := map[string]Answer{}
		for _, id := range names {
			if rapid.Bool().Draw(rt, "given") {
				chosen[id] = Answer{Text: rapid.SampledFrom(ids[id]).Draw(rt, id)}
			}
		}
		first := m.Grade(Submission{Answers: chosen})
		if first.Marks.Sign() < 0 || first.Marks.Cmp(first.Total) > 0 {
			rt.Fatalf("%s of %s", first.Marks, first.Total)
		}
		want := bytesOf(rt, first)
		var wait sync.WaitGroup
		results := make([]string, 3)
		for i := range results {
			order := rapid.Permutation(names).Draw(rt, "order")
			wait.Add(1)
			go func() {
				defer wait.Done()
				again := map[string]Answer{}
				for _, id := range order {
					if a, ok := chosen[id]; ok {
						again[id] = a
					}
				}
				results[i] = string(mustJSON(m.Grade(Submission{Answers: again})))
			}()
		}
		wait.Wait()
		for _, got := range results {
			if got != want {
				rt.Fatalf("the result changed:\n%s\n%s", want, got)
			}
		}
	})
}

func bytesOf(t *rapid.T, r Result) string { return string(mustJSON(r)) }

func mustJSON(r Result) []byte {
	data, err := json.Marshal(r)
	if err != nil {
		return []byte(err.Error())
	}
	return append(data, r.Marks.RatString()...)
}

func FuzzGrade(f *testing.F) {
	m := evening(f)
	for _, w := range writtenAnswers(f) {
		f.Add(w.Answer)
	}
	for _, text := range hostile() {
		if len(text) < 2000 {
			f.Add(text)
		}
	}
	f.Fuzz(func(t *testing.T, text string) {
		answers := map[string]Answer{}
		for _, q := range m.questions {
			answers[q.rubric.ID.Value] = Answer{Text: text}
		}
		out := m.Grade(Submission{Answers: answers})
		if out.Marks.Sign() < 0 || out.Marks.Cmp(out.Total) > 0 {
			t.Errorf("%s of %s marks", out.Marks, out.Total)
		}
		for _, q := range out.Questions {
			for _, s := range q.Feedback {
				if s.Sentence == "" {
					t.Errorf("a mark is lost without a word: %+v", q)
				}
			}
		}
	})
}

func BenchmarkGrade(b *testing.B) {
	m := evening(b)
	first, all := map[string]Answer{}, writtenAnswers(b)
	for _, w := range all {
		if _, given := first[w.Question]; !given {
			first[w.Question] = Answer{Text: w.Answer}
		}
	}
	b.Run("right answers to the whole quiz", func(b *testing.B) {
		for b.Loop() {
			m.Grade(Submission{Answers: first})
		}
	})
	b.Run("every answer of the golden file, one by one", func(b *testing.B) {
		for b.Loop() {
			for _, w := range all {
				m.one(w.Question, Answer{Text: w.Answer})
			}
		}
	})
	for _, id := range []string{"widths", "cost", "chain"} {
		b.Run("right answer: "+id, func(b *testing.B) {
			for b.Loop() {
				for _, q := range m.questions {
					if q.rubric.ID.Value == id {
						q.grade(first[id], true)
					}
				}
			}
		})
	}
}
