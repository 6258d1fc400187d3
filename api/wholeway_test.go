package api_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api"
	"squaremark/api/platform"
)

// compiled are the rubrics of testdata as the grader makes them ready: once, because their examples are marked.
var compiled = sync.OnceValue(func() *api.Rubrics { return api.OpenRubrics("testdata/rubrics", api.Compile, nil) })

func reallyMarked(c *api.Config) { c.Rubrics = compiled() }

// elsewhere is a circle whose line items are those of the contract's examples; scores go to a sender of the test's own.
func elsewhere(sender api.Sender) func(*api.Config) {
	return func(c *api.Config) {
		reallyMarked(c)
		registration := *c.Platforms[0].Registration
		registration.LineItemOrigins = []string{"https://circle.example"}
		c.Platforms[0].Registration = &registration
		c.Sender = sender
	}
}

// The request examples of the contract are marked, and the first gives the answer that the contract shows.
func TestExamplesOfTheContractRun(t *testing.T) {
	c := newCircle(t, elsewhere(&careful{}))
	operation := theContract(t).Paths.Find("/v1/submissions").Post
	answers := map[string]map[string]any{}
	for name, example := range operation.RequestBody.Value.Content.Get("application/json").Examples {
		answer := c.do(c.submit(example.Value.Value))
		require.Equal(t, 200, answer.status, "%s: %s", name, answer.body)
		answers[name] = answer.json(t)
	}
	require.Len(t, answers, 2)
	raw, err := json.Marshal(operation.Responses.Status(http.StatusOK).Value.Content.Get("application/json").Examples["gradebook"].Value.Value)
	require.NoError(t, err)
	var shown map[string]any
	require.NoError(t, json.Unmarshal(raw, &shown))
	text, err := json.MarshalIndent(answers["gradebook"], "", "  ")
	require.NoError(t, err)
	assert.Equal(t, withoutProse(shown), withoutProse(answers["gradebook"]), "%s", text)
}

// The lines of the contract's batch are marked too.
func TestTheContractsBatchRuns(t *testing.T) {
	c := newCircle(t, elsewhere(&careful{}))
	content := theContract(t).Paths.Find("/v1/submissions/batch").Post.RequestBody.Value.Content.Get("application/jsonl")
	marks := []any{}
	for _, r := range c.do(c.batch(content.Examples["two"].Value.Value.(string))).lines(t) {
		require.Equal(t, 200, r.Status, "%v", r.Problem)
		marks = append(marks, r.Result["marks"])
	}
	assert.Equal(t, []any{"2", "1"}, marks)
}

// withoutProse takes away times and the sentences that people read; the grader's own tests are about those.
func withoutProse(value any) any {
	switch v := value.(type) {
	case map[string]any:
		kept := map[string]any{}
		for name, member := range v {
			switch name {
			case "because", "detail", "sentence", "text", "reason", "scoreTimestamp":
				kept[name] = member != ""
			default:
				kept[name] = withoutProse(member)
			}
		}
		return kept
	case []any:
		kept := make([]any, len(v))
		for i, entry := range v {
			kept[i] = withoutProse(entry)
		}
		return kept
	}
	return value
}

// The faces and the event that the contract shows are those of the same rubric.
func TestOtherExamplesOfTheContractAreTrue(t *testing.T) {
	c := newCircle(t, reallyMarked)
	list := theContract(t).Paths.Find("/v1/rubrics").Get.Responses.Status(http.StatusOK).Value.Content.Get("application/json").Examples["one"].Value.Value
	raw, err := json.Marshal(list)
	require.NoError(t, err)
	assert.JSONEq(t, string(raw), string(c.do(c.get("/v1/rubrics")).body))

	work := theContract(t).Paths.Find("/v1/submissions").Post.RequestBody.Value.Content.Get("application/json").Examples["webhook"].Value.Value
	require.Equal(t, 200, c.do(c.submit(work)).status)
	var sent, shown map[string]any
	require.NoError(t, json.Unmarshal(c.platform.Webhooks()[0].Body, &sent))
	event := theContract(t).Webhooks["submission.graded"].Post.RequestBody.Value.Content.Get("application/json").Examples["graded"].Value.Value
	raw, err = json.Marshal(event)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(raw, &shown))
	assert.Equal(t, shown["data"], sent["data"])
}

// A submission goes the whole way: real tokens, real marking, a real gradebook.
func TestTheWholeWay(t *testing.T) {
	c := newCircle(t, reallyMarked)
	for _, row := range []struct {
		question string
		answer   any
		marks    string // of the question
		person   bool
	}{
		{"beds", "-2, -1, 0, 1, 2", "2", false},
		{"beds", "{2, 1, 0, -1, -2}", "2", false},
		{"beds", "-2 <= n <= 2", "2", false},
		{"beds", "0, 1, 2", "1", false},
		{"beds", "7", "0", false},
		{"fence", "(x - 5)^2 - 22", "2", false},
		{"fence", "(5 - x)^2 - 22", "2", false},
		{"fence", "(x - 5)^2 + 3", "3/2", false},
		{"fence", "x^2 - 10x + 3", "0", false},
		{"fence", "(x - 5", "0", true},
		{"hedge", "a^2 - 6a + 9 >= 0\n<=> (a - 3)^2 >= 0", "3", false},
		{"hedge", []any{map[string]any{"text": "a^2 - 6a + 9 >= 0"}, map[string]any{"text": "(a - 3)^2 >= 0", "link": "<=>"}}, "3", false},
		{"hedge", "a^2 - 6a - 9 >= 0\n<=> (a - 3)^2 >= 0", "0", false},
	} {
		t.Run(fmt.Sprintf("%s %v", row.question, row.answer), func(t *testing.T) {
			c := *c
			c.t = t
			answer := c.do(c.submit(c.submission(map[string]any{"answers": map[string]any{row.question: row.answer}})))
			require.Equal(t, 200, answer.status, "%s", answer.body)
			result := answer.json(t)
			assert.Equal(t, row.marks, result["marks"], "%s", answer.body)
			assert.Equal(t, row.person, result["needsPerson"])
			score := c.platform.Gradebook()[0].Score
			assert.Equal(t, row.marks, score.ScoreGiven.RatString())
			assert.Equal(t, "7", score.ScoreMaximum.RatString())
			assert.Equal(t, row.person, score.GradingProgress == platform.GradingPendingManual)
			for _, q := range result["questions"].([]any) {
				question := q.(map[string]any)
				lost := question["marks"] != question["total"]
				assert.Equal(t, lost, len(question["feedback"].([]any)) > 0, "a lost mark has its sentence: %v", question["id"])
			}
		})
	}
}

func TestRealMarkingRepeatsItself(t *testing.T) {
	c := newCircle(t, reallyMarked)
	body := c.submission(map[string]any{"answers": map[string]any{
		"beds": "-3, 0, 1, 2", "fence": "(x-5)^2+3", "hedge": "a^2 + 9 >= 6a\n=> a^2 - 6a >= 9\n(a-3)^2 >= 0",
	}})
	first := times.ReplaceAllString(string(c.do(c.submit(body)).body), "")
	var group sync.WaitGroup
	for i := range 8 {
		body["pupil"] = fmt.Sprintf("p-000%d", i) // the marks do not depend on the pupil
		k := c.submit(body)
		group.Add(1)
		go func() {
			defer group.Done()
			assert.Equal(t, first, times.ReplaceAllString(string(c.do(k).body), ""))
		}()
	}
	group.Wait()
}

// What would take for ever is told as not settled or not readable, within a few seconds.
func TestHostileAnswersAreMarkedInBoundedTime(t *testing.T) {
	c := newCircle(t, reallyMarked)
	for name, answer := range map[string]string{
		"tower of powers": "9^9^9^9", "digits": strings.Repeat("7", 8000), "brackets": strings.Repeat("(", 4000),
		"factors": strings.Repeat("(x+1)", 900), "powers": "(x + 1)^99999999", "zero byte": "a\x00b",
		"direction": "\u202e7 = x\u202c", "roots": strings.Repeat("sqrt(", 500) + "x" + strings.Repeat(")", 500),
		"sum": "1" + strings.Repeat("+1/7", 2000), "signs": strings.Repeat("-", 8000) + "1",
	} {
		t.Run(name, func(t *testing.T) {
			c := *c
			c.t = t
			started := time.Now()
			reply := c.do(c.submit(c.submission(map[string]any{"answers": map[string]any{
				"beds": answer, "fence": answer, "hedge": "a^2 - 6a + 9 >= 0\n<=> " + answer + " >= 0",
			}})))
			require.Equal(t, 200, reply.status, "%.300s", reply.body)
			assert.Less(t, time.Since(started), 30*time.Second)
			t.Log(time.Since(started).Round(time.Millisecond), len(reply.body), reply.json(t)["needsPerson"])
		})
	}
}

func BenchmarkSubmission(b *testing.B) {
	t := &testing.T{}
	c := newCircle(t, elsewhere(&careful{}), func(c *api.Config) { c.Limits.PerSecond, c.Limits.Burst = 1e9, 1e9 })
	k := c.submit(c.submission(map[string]any{"target": map[string]any{"lineItem": "https://circle.example/courses/12/items/7"}}))
	defer c.stop()
	for b.Loop() {
		request, err := http.NewRequest(k.method, c.url+k.path, strings.NewReader(k.body))
		require.NoError(b, err)
		request.Header = k.header
		answer, err := http.DefaultClient.Do(request)
		require.NoError(b, err)
		require.Equal(b, 200, answer.StatusCode)
		require.NoError(b, answer.Body.Close())
	}
}
