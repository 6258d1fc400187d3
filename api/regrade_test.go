package api_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api/platform/standin"
)

// Every marking has a later timestamp than the one before, also when the marks return to an old value; what was sent
// again by the client after trouble keeps its own.
func TestARegradeMovesTheTimestampForward(t *testing.T) {
	c := newCircle(t)
	var last time.Time
	for i, beds := range []string{"0", "", "0", "0"} {
		if i == 2 {
			c.platform.Fail(standin.ScoresEndpoint, standin.Fault{Status: 503})
		}
		require.Equal(t, 200, c.do(changed(map[string]any{"answers": map[string]any{"beds": beds}})(c)).status)
		score := c.platform.Gradebook()[0].Score
		assert.True(t, score.Timestamp.After(last))
		assert.Equal(t, map[bool]string{true: "0", false: "2"}[beds == ""], score.ScoreGiven.RatString())
		last = score.Timestamp
	}
	seen := c.platform.Seen(standin.ScoresEndpoint)
	require.Len(t, seen, 5)
	assert.Equal(t, string(seen[2].Body), string(seen[3].Body), "a repeat is the same message")
}

// What the platform calls final is not sent again, and told as final.
func TestFinalAnswersOfThePlatform(t *testing.T) {
	c := newCircle(t)
	for _, status := range []int{400, 403, 404, 405, 410, 415, 422, 301, 307} {
		c.platform.Fail(standin.ScoresEndpoint, standin.Fault{Status: status, Header: map[string]string{"Location": "https://elsewhere.example/"}})
		before := len(c.platform.Seen(standin.ScoresEndpoint))
		answer := c.do(good(c))
		assert.Equal(t, "delivery-refused", answer.problem(t), status)
		delivery := answer.json(t)["result"].(map[string]any)["delivery"].(map[string]any)
		assert.Equal(t, "refused", delivery["state"])
		assert.Equal(t, 1.0, delivery["attempts"])
		assert.Len(t, c.platform.Seen(standin.ScoresEndpoint), before+1, status)
	}
}

// The trace of the caller goes on to the platform, in the calls of a batch too.
func TestTheTraceGoesOn(t *testing.T) {
	c := newCircle(t)
	c.do(good(c).with("Traceparent", "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01").with("Tracestate", "circle=1"))
	c.do(goodBatch(c).with("Traceparent", "00-aaf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-00"))
	seen := c.platform.Seen(standin.ScoresEndpoint)
	require.Len(t, seen, 3)
	for i, want := range []string{"^00-4bf92f3577b34da6a3ce929d0e0e4736-[0-9a-f]{16}-01$", "^00-aaf92f3577b34da6a3ce929d0e0e4736-[0-9a-f]{16}-00$", "^00-aaf92f3577b34da6a3ce929d0e0e4736-[0-9a-f]{16}-00$"} {
		assert.Regexp(t, want, seen[i].Header.Get("Traceparent"))
		assert.NotContains(t, seen[i].Header.Get("Traceparent"), "00f067aa0ba902b7", "the parent is this service's call")
		assert.Empty(t, seen[i].Header.Get("Tracestate"))
	}
	c.do(good(c))
	assert.Regexp(t, "^00-[0-9a-f]{32}-[0-9a-f]{16}-00$", c.platform.Seen(standin.ScoresEndpoint)[3].Header.Get("Traceparent"))
}
