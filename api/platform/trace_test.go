package platform_test

import (
	"context"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api/platform"
	"squaremark/api/platform/standin"
)

// Every outgoing call belongs to the trace, each with a span of its own; no tracestate goes out.
func TestCallsCarryTheTrace(t *testing.T) {
	c := open(t, standin.Config{GrantScopes: everyScope}, platform.ClientOptions{})
	const id = "4bf92f3577b34da6a3ce929d0e0e4736"
	c.Fail(standin.ScoresEndpoint, standin.Fault{Status: 503})
	ctx := platform.WithTrace(context.Background(), platform.Trace{ID: id, Sampled: true})
	outcome, err := c.client.PostScore(ctx, c.registration, c.item, c.mark("p-07c2", 5, 9))
	require.NoError(t, err)
	require.Equal(t, platform.Delivered, outcome.State)
	_, err = c.client.ReadResults(ctx, c.registration, c.item, "")
	require.NoError(t, err)
	verifier, err := platform.NewVerifier([]platform.IssuerConfig{c.IssuerConfig()}, platform.VerifierOptions{})
	require.NoError(t, err)
	token, err := c.MintSubmissionToken(map[string]any{"sub": "circle-courses"})
	require.NoError(t, err)
	_, refusal := verifier.Verify(ctx, token)
	require.Nil(t, refusal)
	spans := map[string]bool{}
	calls := 0
	for _, endpoint := range []standin.Endpoint{standin.TokenEndpoint, standin.ScoresEndpoint, standin.ResultsEndpoint, standin.KeysEndpoint} {
		for _, request := range c.Seen(endpoint) {
			calls++
			field := request.Header.Get("Traceparent")
			require.Regexp(t, regexp.MustCompile(`^00-`+id+`-[0-9a-f]{16}-01$`), field, endpoint)
			spans[field[36:52]] = true
			assert.Empty(t, request.Header.Get("Tracestate"))
		}
	}
	assert.Equal(t, 6, calls)
	assert.Len(t, spans, calls, "each call has its own")
}

func TestCallsWithoutATrace(t *testing.T) {
	c := open(t, standin.Config{}, platform.ClientOptions{})
	for _, ctx := range []context.Context{context.Background(), platform.WithTrace(context.Background(), platform.Trace{ID: "x"})} {
		_, err := c.client.PostScore(ctx, c.registration, c.item, c.mark("p-07c2", 5, 9))
		require.NoError(t, err)
	}
	for _, request := range c.Seen(standin.ScoresEndpoint) {
		assert.Empty(t, request.Header.Get("Traceparent"))
	}
	ctx := platform.WithTrace(context.Background(), platform.Trace{ID: "4bf92f3577b34da6a3ce929d0e0e4736"})
	_, err := c.client.PostScore(ctx, c.registration, c.item, c.mark("p-07c2", 5, 9))
	require.NoError(t, err)
	assert.Regexp(t, `-00$`, c.Seen(standin.ScoresEndpoint)[2].Header.Get("Traceparent"))
}
