package judge

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// contains reports that got holds all that want says: members that want
// names, at any depth, and lists of equal length.
func contains(got, want any) bool {
	switch want := want.(type) {
	case map[string]any:
		have, ok := got.(map[string]any)
		for k, v := range want {
			member, there := have[k]
			ok = ok && there && contains(member, v)
		}
		return ok
	case []any:
		have, ok := got.([]any)
		ok = ok && len(have) == len(want)
		for i := range want {
			ok = ok && contains(have[i], want[i])
		}
		return ok
	}
	return got == want
}

// rows reads testdata: a question, and indented below it what must come back.
func rows(t testing.TB) (questions, wants []string) {
	t.Helper()
	data, err := os.ReadFile("testdata/questions.jsonl")
	require.NoError(t, err)
	for _, line := range strings.Split(strings.TrimSpace(string(data)), "\n") {
		if strings.HasPrefix(line, " ") {
			wants = append(wants, line)
		} else {
			questions = append(questions, line)
		}
	}
	require.Len(t, wants, len(questions))
	return questions, wants
}

func TestQuestions(t *testing.T) {
	questions, wants := rows(t)
	var out bytes.Buffer
	require.NoError(t, Run(strings.NewReader(strings.Join(questions, "\n")), &out, Options{Workers: 3}))
	replies := strings.Split(strings.TrimSpace(out.String()), "\n")
	require.Len(t, replies, len(questions))
	for i := range questions {
		var got, want, asked map[string]any
		require.NoError(t, json.Unmarshal([]byte(replies[i]), &got))
		require.NoError(t, json.Unmarshal([]byte(wants[i]), &want))
		require.NoError(t, json.Unmarshal([]byte(questions[i]), &asked))
		assert.Equal(t, asked["id"], got["id"], "replies come in the order of the questions")
		assert.True(t, contains(got, want), "%s\n got %s\nwant %s", questions[i], replies[i], wants[i])
	}
}

// The verdicts and evidence of the table pass the kernel again.
func TestRecheck(t *testing.T) {
	questions, _ := rows(t)
	var replies, report bytes.Buffer
	require.NoError(t, Run(strings.NewReader(strings.Join(questions, "\n")), &replies, Options{}))
	require.NoError(t, Recheck(bytes.NewReader(replies.Bytes()), &report))
	assert.Greater(t, strings.Count(report.String(), `"holds":true`), 5)
	damaged := strings.Replace(replies.String(), `"coefficient":"1"`, `"coefficient":"2"`, 1)
	require.NotEqual(t, replies.String(), damaged)
	report.Reset()
	assert.ErrorIs(t, Recheck(strings.NewReader(damaged), &report), ErrRecheck)
	assert.Contains(t, report.String(), `"holds":false`)
}

func TestLinesThatAreNotJSON(t *testing.T) {
	long := `{"id":2,"ask":"truth","statement":"` + strings.Repeat("1+", maxLine) + `"}`
	in := "{oops\n\n" + `{"id":1,"ask":"truth","statement":"1 < 2"}` + "\n" + long + "\n" + `{"id":3,"ask":"truth","statement":"2 < 1"}`
	var out bytes.Buffer
	assert.ErrorIs(t, Run(strings.NewReader(in), &out, Options{Workers: 2}), ErrInput)
	replies := strings.Split(strings.TrimSpace(out.String()), "\n")
	require.Len(t, replies, 4)
	assert.Contains(t, replies[0], `"error"`)
	assert.Contains(t, replies[1], `"holds"`)
	assert.Contains(t, replies[2], `"error"`)
	assert.Contains(t, replies[3], `"fails"`)
}

// Many lines on several workers come back in order, with a time each.
func TestOrderAndTimings(t *testing.T) {
	var in, out bytes.Buffer
	const n = 500
	for i := range n {
		fmt.Fprintf(&in, `{"id":%d,"ask":"truth","variables":{"x":"real"},"statement":"x^2 - %dx + %d >= 0"}`+"\n", i, 2*i, i*i+i%2)
	}
	require.NoError(t, Run(&in, &out, Options{Workers: 4, Timings: true}))
	d := json.NewDecoder(&out)
	for i := range n {
		var r struct {
			ID      int
			Verdict string
			Micros  *int64
		}
		require.NoError(t, d.Decode(&r))
		assert.Equal(t, i, r.ID)
		assert.Equal(t, "holds", r.Verdict)
		assert.NotNil(t, r.Micros)
	}
	assert.False(t, d.More())
}

// Every text is printed back as it was understood.
func TestReadings(t *testing.T) {
	r, err := answer([]byte(`{"ask":"identity","variables":{"x":"real"},"left":"½x² − 3","right":"\\frac{x^2}{2} - 3"}`), Options{Readings: true})
	require.NoError(t, err)
	assert.Equal(t, "holds", r.Verdict)
	assert.Equal(t, "1/2*x^2 - 3", r.Readings["left"].Plain)
	assert.Equal(t, "x^2/2 - 3", r.Readings["right"].Plain)
	assert.Contains(t, r.Readings["right"].LaTeX, `\frac`)
	assert.Contains(t, r.Readings["right"].MathML, "<mfrac>")
}

func FuzzAnswer(f *testing.F) {
	questions, _ := rows(f)
	for _, q := range questions {
		f.Add([]byte(q))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		r, _ := answer(data, Options{Readings: true})
		_, err := encode(r)
		require.NoError(t, err)
	})
}
