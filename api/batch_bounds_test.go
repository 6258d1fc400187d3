package api_test

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
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
