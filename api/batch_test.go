package api_test

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"path"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api"
)

// line is a submission as one line.
func (c *circle) line(changes map[string]any) string {
	raw, err := json.Marshal(c.submission(changes))
	require.NoError(c.t, err)
	return string(raw)
}

func (c *circle) batch(lines ...string) call {
	k := c.submit(strings.Join(lines, "\n"))
	k.path = "/v1/submissions/batch"
	return k.with("Content-Type", "application/jsonl")
}

// lineReply is one reply of a batch, read and checked.
type lineReply struct {
	Line, Status, RetryAfterSeconds int
	Result                          map[string]any
	Problem                         map[string]any
}

func (r lineReply) problem() string {
	kind, _ := r.Problem["type"].(string)
	return strings.TrimPrefix(path.Base(kind), ".")
}

func readReply(t *testing.T, text []byte) lineReply {
	t.Helper()
	checkBody(t, theContract(t).Components.Schemas["BatchReply"].Value, text)
	var r lineReply
	require.NoError(t, json.Unmarshal(text, &r))
	assert.NotEqual(t, r.Result == nil, r.Problem == nil, "a result or a problem: %s", text)
	return r
}

func (r reply) lines(t *testing.T) []lineReply {
	t.Helper()
	require.Equal(t, 200, r.status, "%s", r.body)
	var all []lineReply
	for _, text := range strings.Split(strings.TrimSuffix(string(r.body), "\n"), "\n") {
		all = append(all, readReply(t, []byte(text)))
	}
	return all
}

func goodBatch(c *circle) call { return c.batch(c.line(nil), c.line(nil)) }

func batchRows() []row {
	held, hold := make(chan struct{}, 1), make(chan struct{})
	return []row{
		{name: "marked", operation: many, call: goodBatch, status: 200, header: map[string]string{"Content-Type": "application/jsonl", "Cache-Control": "no-store"}},
		{name: "no lines", operation: many, call: func(c *circle) call { return c.batch() }, status: 200},
		{name: "no token", operation: many, call: withHeader(goodBatch, "Authorization", ""), status: 401, problem: "token-missing"},
		{name: "read only", operation: many, call: withClaims(goodBatch, map[string]any{"scope": "read"}), status: 403, problem: "scope-missing"},
		{name: "as JSON", operation: many, call: withHeader(goodBatch, "Accept", "application/json"), status: 406, problem: "not-acceptable"},
		{name: "sent as JSON", operation: many, call: withHeader(goodBatch, "Content-Type", "application/json"), status: 415, problem: "unsupported-media-type", header: map[string]string{"Accept": "application/jsonl"}},
		{name: "compressed", operation: many, call: withHeader(goodBatch, "Content-Encoding", "gzip"), status: 415, problem: "unsupported-media-type"},
		{name: "too often", operation: many, config: oneAtATime, arrange: spent("/v1/rubrics"), call: goodBatch, status: 429, problem: "too-many-requests"},
		{name: "verifier panics", operation: many, config: panicInVerifier, call: goodBatch, status: 500, problem: "internal-error"},
		{name: "keys gone", operation: many, config: keysGone, call: goodBatch, status: 503, problem: "keys-unavailable"},
		{name: "enough batches", operation: many, status: 503, problem: "overloaded",
			config: func(c *api.Config) { rubricsMarkedBy(holding(held, hold))(c); c.Limits.Batches = 1 },
			arrange: func(c *circle) {
				k := goodBatch(c)
				go c.do(k)
				<-held
				c.t.Cleanup(func() { close(hold) })
			}, call: goodBatch},
	}
}

// Each line gets what it would get alone, in order, and bad lines do not stop the rest.
func TestABatchAnswersAsSingleSubmissionsDo(t *testing.T) {
	c := newCircle(t)
	lines := []string{
		c.line(nil), "", "{'rubric': 1}", c.line(map[string]any{"pupil": nil}), c.line(map[string]any{"pupil": "p-1e90"}),
		strings.Repeat("[", 9) + strings.Repeat("]", 9), `{"pupil":"a","pupil":"b"}`, strings.Repeat(" ", 256<<10+1), c.line(map[string]any{"scoreGiven": 7}),
		c.line(map[string]any{"rubric": map[string]any{"quiz": "roof-gardens"}}), c.line(map[string]any{"target": map[string]any{"webhook": hookName}}),
		c.line(map[string]any{"target": map[string]any{"webhook": "morning-circle"}}), c.line(map[string]any{"target": map[string]any{"lineItem": "https://elsewhere.example/1"}}),
		c.line(map[string]any{"target": map[string]any{"lineItem": c.lineItem + "-none"}}), "\xff", "null", c.line(map[string]any{"answers": map[string]any{"roof": "x"}}),
		c.line(nil) + "\r",
	}
	replies := c.do(c.batch(lines...)).lines(t)
	require.Len(t, replies, len(lines))
	for i, line := range lines {
		alone := c.do(c.submit(line))
		got := replies[i]
		assert.Equal(t, i+1, got.Line)
		assert.Equal(t, alone.status, got.Status, "line %d: %.80s", i+1, line)
		raw, err := json.Marshal(got.Result)
		if alone.status != 200 {
			assert.Equal(t, alone.problem(t), got.problem(), "line %d", i+1)
			assert.Equal(t, alone.json(t)["errors"], got.Problem["errors"], "line %d", i+1)
			if alone.status == 502 {
				assert.NotEmpty(t, got.Problem["receipt"])
			}
			continue
		}
		require.NoError(t, err)
		aloneRaw, err := json.Marshal(alone.json(t))
		require.NoError(t, err)
		assert.Equal(t, times.ReplaceAllString(string(aloneRaw), ""), times.ReplaceAllString(string(raw), ""))
	}
}

// An empty last line is no line.
func TestTheEndOfABatch(t *testing.T) {
	c := newCircle(t)
	for body, want := range map[string]int{"": 0, "\n": 1, "{}": 1, "{}\n": 1, "{}\n\n": 2, "{}\n{}": 2, "{}\n{}\n": 2} {
		k := c.batch()
		k.body = body
		answer := c.do(k)
		assert.Equal(t, want, strings.Count(string(answer.body), "\n"), "%q", body)
	}
}

// dialogue is a batch whose lines a test sends one by one.
type dialogue struct {
	t       *testing.T
	in      *io.PipeWriter
	answers *bufio.Reader
}

func (c *circle) converse(k call) *dialogue {
	read, write := io.Pipe()
	request, err := http.NewRequest(http.MethodPost, c.url+k.path, read)
	require.NoError(c.t, err)
	request.Header = k.header
	answer, err := http.DefaultClient.Do(request)
	require.NoError(c.t, err)
	require.Equal(c.t, 200, answer.StatusCode)
	c.t.Cleanup(func() { write.Close(); answer.Body.Close() })
	return &dialogue{c.t, write, bufio.NewReader(answer.Body)}
}

func (d *dialogue) send(line string) {
	_, err := io.WriteString(d.in, line+"\n")
	require.NoError(d.t, err)
}

func (d *dialogue) next() lineReply {
	text, err := d.answers.ReadBytes('\n')
	require.NoError(d.t, err)
	return readReply(d.t, text)
}

func (d *dialogue) ended() bool {
	_, err := d.answers.ReadByte()
	return err != nil
}

func TestRepliesComeWhileLinesAreStillSent(t *testing.T) {
	c := newCircle(t)
	d := c.converse(c.batch())
	for i := range 5 {
		d.send(c.line(map[string]any{"pupil": fmt.Sprintf("p-000%d", i)}))
		assert.Equal(t, 200, d.next().Status)
		assert.Len(t, c.platform.Gradebook(), i+1)
	}
	require.NoError(t, d.in.Close())
	assert.True(t, d.ended())
}

// Lines are in hand side by side, replies stay in order, and no more is read than the window holds.
func TestABatchIsReadNoFasterThanItIsAnswered(t *testing.T) {
	held, hold := make(chan struct{}, 64), make(chan struct{})
	c := newCircle(t, rubricsMarkedBy(holding(held, hold)), func(c *api.Config) { c.Limits.BatchWindow, c.Limits.Marking = 3, 8 })
	lines := &countedLines{}
	for i := range 40 {
		lines.all = append(lines.all, c.line(map[string]any{"pupil": fmt.Sprintf("p-%04d", i)})+"\n")
	}
	request := httptest.NewRequest(http.MethodPost, "/v1/submissions/batch", lines)
	request.Header = c.batch().header
	recorder := httptest.NewRecorder()
	done := make(chan struct{})
	go func() { defer close(done); c.server.ServeHTTP(recorder, request) }()
	for range 4 { // three wait for their turn to be written, one is being waited for
		<-held
	}
	time.Sleep(100 * time.Millisecond)
	assert.Empty(t, held, "the window is full")
	assert.LessOrEqual(t, lines.read.Load(), int64(5))
	close(hold)
	<-done
	replies := reply{recorder.Code, recorder.Header(), recorder.Body.Bytes()}.lines(t)
	require.Len(t, replies, 40)
	for i, r := range replies {
		assert.Equal(t, i+1, r.Line)
		assert.Equal(t, 200, r.Status)
	}
	assert.Len(t, c.platform.Gradebook(), 40)
}

// countedLines gives one line for each reading.
type countedLines struct {
	all  []string
	read atomic.Int64
}

func (l *countedLines) Read(p []byte) (int, error) {
	at := l.read.Load()
	if int(at) >= len(l.all) {
		return 0, io.EOF
	}
	l.read.Add(1)
	return copy(p, l.all[at]), nil
}

// The last line for a pupil has the last word, although lines are in hand side by side.
func TestTheLastLineForAPupilCounts(t *testing.T) {
	c := newCircle(t)
	lines := []string{}
	for i := range 40 {
		answers := map[string]any{}
		if i%2 == 1 {
			answers["beds"] = "0"
		}
		lines = append(lines, c.line(map[string]any{"pupil": fmt.Sprintf("p-000%d", i%3), "answers": answers}))
	}
	replies := c.do(c.batch(lines...)).lines(t)
	require.Len(t, replies, 40)
	marks := map[string]any{}
	for i, r := range replies {
		marks[fmt.Sprintf("p-000%d", i%3)] = r.Result["marks"]
		assert.Equal(t, "delivered", r.Result["delivery"].(map[string]any)["state"], "no line overtakes another")
	}
	for _, entry := range c.platform.Gradebook() {
		assert.Equal(t, marks[entry.UserID], entry.Score.ScoreGiven.RatString())
	}
}
