package api_test

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"path"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/algebra/source"
	"squaremark/api"
	"squaremark/api/platform"
	"squaremark/api/platform/standin"
	"squaremark/grader"
	"squaremark/grader/rubric"
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

func TestBatchesHaveBounds(t *testing.T) {
	t.Run("lines", func(t *testing.T) {
		c := newCircle(t, func(c *api.Config) { c.Limits.BatchLines = 2 })
		replies := c.do(c.batch(c.line(nil), c.line(nil), c.line(nil), c.line(nil))).lines(t)
		require.Len(t, replies, 3)
		assert.Equal(t, "body-too-large", replies[2].problem())
	})
	t.Run("a pause", func(t *testing.T) {
		c := newCircle(t, func(c *api.Config) { c.Limits.BatchPause = 150 * time.Millisecond })
		d := c.converse(c.batch())
		d.send(c.line(nil))
		assert.Equal(t, 200, d.next().Status)
		assert.Equal(t, "body-too-slow", d.next().problem())
		assert.True(t, d.ended())
	})
	t.Run("the whole", func(t *testing.T) {
		c := newCircle(t, func(c *api.Config) { c.Limits.Batch = 300 * time.Millisecond })
		d := c.converse(c.batch())
		assert.Equal(t, "body-too-slow", d.next().problem())
		assert.True(t, d.ended())
	})
	t.Run("a line without an end", func(t *testing.T) {
		c := newCircle(t, func(c *api.Config) { c.Limits.BatchPause = time.Second })
		request := httptest.NewRequest(http.MethodPost, "/v1/submissions/batch", io.LimitReader(endless{}, 32<<20))
		request.Header = c.batch().header
		recorder := httptest.NewRecorder()
		c.server.ServeHTTP(recorder, request)
		replies := reply{recorder.Code, recorder.Header(), recorder.Body.Bytes()}.lines(t)
		require.Len(t, replies, 1)
		assert.Equal(t, "body-too-large", replies[0].problem())
	})
	t.Run("the service stops", func(t *testing.T) {
		c := newCircle(t, func(c *api.Config) { c.Limits.DrainDelay = time.Second })
		d := c.converse(c.batch())
		d.send(c.line(nil))
		assert.Equal(t, 200, d.next().Status)
		c.stop()
		require.Eventually(t, func() bool { return strings.Contains(c.logs.String(), `"msg":"stopping"`) }, time.Second, time.Millisecond)
		last := d.next() // without another line: nobody waits for the next pause to end
		assert.Equal(t, "overloaded", last.problem())
		assert.Equal(t, 1, last.RetryAfterSeconds)
		assert.True(t, d.ended())
		require.NoError(t, <-c.ended)
	})
}

// A batch waits for the caller's rate; where that would take too long, the line is told.
func TestABatchKeepsToTheRate(t *testing.T) {
	c := newCircle(t, func(c *api.Config) { c.Limits.Burst, c.Limits.PerSecond = 1, 25 })
	started := time.Now()
	for _, r := range c.do(c.batch(c.line(nil), c.line(nil), c.line(nil), c.line(nil), c.line(nil))).lines(t) {
		assert.Equal(t, 200, r.Status)
	}
	assert.GreaterOrEqual(t, time.Since(started), 180*time.Millisecond)
	c = newCircle(t, oneAtATime)
	for _, r := range c.do(c.batch(c.line(nil), c.line(nil))).lines(t) {
		assert.Equal(t, "too-many-requests", r.problem())
		assert.Greater(t, r.RetryAfterSeconds, 60)
	}
}

// fading accepts a token a few times and then finds it expired.
type fading struct {
	api.Verifier
	left atomic.Int64
}

func (f *fading) Verify(ctx context.Context, token string) (*platform.Caller, *platform.Refusal) {
	if f.left.Add(-1) < 0 {
		return nil, &platform.Refusal{Code: platform.RefusedExpired, Text: "the token has expired"}
	}
	return f.Verifier.Verify(ctx, token)
}

// shaky panics at its third token.
type shaky struct {
	api.Verifier
	calls atomic.Int64
}

func (s *shaky) Verify(ctx context.Context, token string) (*platform.Caller, *platform.Refusal) {
	if s.calls.Add(1) == 3 {
		panic(token)
	}
	return s.Verifier.Verify(ctx, token)
}

func TestATokenThatExpiresEndsWithItsBatch(t *testing.T) {
	c := newCircle(t, func(c *api.Config) {
		f := &fading{Verifier: c.Verifier}
		f.left.Store(3) // one for the request
		c.Verifier = f
	})
	statuses := []int{}
	for _, r := range c.do(c.batch(c.line(nil), c.line(nil), c.line(nil), c.line(nil))).lines(t) {
		statuses = append(statuses, r.Status)
	}
	assert.Equal(t, []int{200, 200, 401, 401}, statuses)
}

// A panic costs one line, and the pins of the token hold for each.
func TestOneLineDoesNotHarmAnother(t *testing.T) {
	c := newCircle(t, rubricsMarkedBy(func(r *rubric.Rubric) (api.Mark, []*source.Diag) {
		mark, diags := fullMarks(r)
		return func(s grader.Submission) grader.Result {
			if s.Answers["beds"].Text == "panic" {
				panic(s.Answers)
			}
			return mark(s)
		}, diags
	}))
	replies := c.do(c.batch(c.line(nil), c.line(map[string]any{"answers": map[string]any{"beds": "panic"}}), c.line(nil))).lines(t)
	assert.Equal(t, []int{200, 500, 200}, []int{replies[0].Status, replies[1].Status, replies[2].Status})
	c = newCircle(t, func(c *api.Config) { c.Verifier = &shaky{Verifier: c.Verifier} })
	replies = c.do(c.batch(c.line(nil), c.line(nil), c.line(nil))).lines(t) // the first token is that of the request
	assert.Equal(t, []int{200, 500, 200}, []int{replies[0].Status, replies[1].Status, replies[2].Status})
	k := c.batch(c.line(nil), c.line(map[string]any{"pupil": "p-1e90"}), c.line(nil)).
		with("Authorization", "Bearer "+c.token(map[string]any{api.PupilClaim: "p-07c2"}))
	replies = c.do(k).lines(t)
	assert.Equal(t, []int{200, 403, 200}, []int{replies[0].Status, replies[1].Status, replies[2].Status})
}

// What was read is delivered even if the caller hangs up.
func TestABatchWhoseCallerHangsUp(t *testing.T) {
	held, hold := make(chan struct{}, 1), make(chan struct{})
	c := newCircle(t, func(c *api.Config) { c.Sender = &slowSender{Sender: c.Sender, held: held, hold: hold} })
	connection := c.dial()
	k := c.batch(c.line(nil) + "\n")
	_, err := fmt.Fprintf(connection, "POST %s HTTP/1.1\r\nHost: circle\r\nAuthorization: %s\r\nContent-Type: application/jsonl\r\nContent-Length: 9999\r\n\r\n%s",
		k.path, k.header.Get("Authorization"), k.body)
	require.NoError(t, err)
	<-held
	require.NoError(t, connection.Close())
	time.Sleep(50 * time.Millisecond)
	close(hold)
	require.Eventually(t, func() bool { return len(c.platform.Gradebook()) == 1 }, 3*time.Second, 10*time.Millisecond)
	require.Eventually(t, func() bool { return strings.Contains(c.logs.String(), `"msg":"batch"`) }, 3*time.Second, 10*time.Millisecond, "its place is given back")
}

// A caller who sends and never reads is waited for no longer than the pause, and its place is given back.
func TestABatchWhoseCallerDoesNotRead(t *testing.T) {
	c := newCircle(t, func(c *api.Config) {
		c.Limits.BatchPause, c.Limits.PerSecond, c.Limits.Burst = 300*time.Millisecond, 1e6, 1e6
	})
	connection := c.dial()
	_, err := fmt.Fprintf(connection, "POST /v1/submissions/batch HTTP/1.1\r\nHost: circle\r\nAuthorization: Bearer %s\r\nContent-Type: application/jsonl\r\nContent-Length: 99999999\r\n\r\n", c.token(nil))
	require.NoError(t, err)
	line := c.line(map[string]any{"target": map[string]any{"webhook": hookName}, "answers": map[string]any{"fence": strings.Repeat("x", 16_000)}}) + "\n"
	for err == nil { // ends when the service hangs up
		_, err = io.WriteString(connection, line)
	}
	require.Eventually(t, func() bool { return strings.Contains(c.logs.String(), `"broken":true`) }, 3*time.Second, 10*time.Millisecond)
	assert.Equal(t, 200, c.do(goodBatch(c)).status)
}

// Two batches and single submissions at the same time do not mix up.
func TestBatchesSideBySide(t *testing.T) {
	c := newCircle(t, func(c *api.Config) { c.Limits.Batches = 6 })
	var group sync.WaitGroup
	for b := range 3 {
		lines := []string{}
		for i := range 8 {
			lines = append(lines, c.line(map[string]any{"pupil": fmt.Sprintf("p-%d%03d", b, i)}))
		}
		k := c.batch(lines...)
		group.Go(func() {
			for i, r := range c.do(k).lines(t) {
				assert.Equal(t, i+1, r.Line)
				assert.Equal(t, 200, r.Status)
			}
		})
	}
	group.Wait()
	assert.Len(t, c.platform.Gradebook(), 24)
}

// Passing trouble for one line is told with that line.
func TestDeliveryTroubleIsToldByLine(t *testing.T) {
	c := newCircle(t, func(c *api.Config) { c.Limits.BatchWindow = 1 })
	d := c.converse(c.batch())
	for _, fault := range []standin.Fault{{Status: 403}, {}, {Status: 503, Header: map[string]string{"Retry-After": "90"}}} {
		if fault.Status != 0 {
			c.platform.Fail(standin.ScoresEndpoint, fault)
		}
		d.send(c.line(nil))
		r := d.next()
		assert.Equal(t, map[int]int{403: 502, 0: 200, 503: 503}[fault.Status], r.Status)
		assert.Equal(t, map[int]int{503: 90}[fault.Status], r.RetryAfterSeconds)
		assert.Equal(t, fault.Status != 0, r.Problem["receipt"] != nil)
	}
}
