package api_test

import (
	"net/http"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"squaremark/algebra/source"
	"squaremark/api"
	"squaremark/grader"
	"squaremark/grader/rubric"
)

// holding marks only when it is let go.
func holding(held chan<- struct{}, hold <-chan struct{}) api.Prepare {
	return func(r *rubric.Rubric) (api.Mark, []*source.Diag) {
		mark, diags := fullMarks(r)
		return func(s grader.Submission) grader.Result {
			held <- struct{}{}
			<-hold
			return mark(s)
		}, diags
	}
}

func TestMoreThanCanBeInHandIsRefusedAtOnce(t *testing.T) {
	held, hold := make(chan struct{}, 8), make(chan struct{})
	c := newCircle(t, rubricsMarkedBy(holding(held, hold)), func(c *api.Config) { c.Limits.InFlight, c.Limits.Marking = 2, 2 })
	done := make(chan reply, 2)
	for range 2 {
		k := good(c)
		go func() { done <- c.do(k) }()
		<-held
	}
	busy := c.do(good(c))
	assert.Equal(t, 503, busy.status)
	assert.Equal(t, "overloaded", busy.problem(t))
	assert.Equal(t, "1", busy.header.Get("Retry-After"))
	assert.Equal(t, 200, c.do(c.get("/healthz")).status)
	close(hold)
	assert.Equal(t, 200, (<-done).status)
	assert.Equal(t, 200, (<-done).status)
	assert.Equal(t, 200, c.do(good(c)).status, "places are given back")
}

func TestWaitingForAPlaceHasAnEnd(t *testing.T) {
	held, hold := make(chan struct{}, 8), make(chan struct{})
	c := newCircle(t, rubricsMarkedBy(holding(held, hold)), func(c *api.Config) {
		c.Limits.Marking, c.Limits.Request = 1, time.Second
	})
	done := make(chan reply, 1)
	k := good(c)
	go func() { done <- c.do(k) }()
	<-held
	waited := c.do(good(c))
	assert.Equal(t, "overloaded", waited.problem(t))
	close(hold)
	assert.Equal(t, "overloaded", (<-done).problem(t), "what is marked too late is not delivered")
	assert.Empty(t, c.platform.Gradebook())
}

func TestHealthHasNoRate(t *testing.T) {
	c := newCircle(t, oneAtATime)
	for range 5 {
		assert.Equal(t, 200, c.do(call{method: "GET", path: "/healthz", header: http.Header{}}).status)
	}
}
