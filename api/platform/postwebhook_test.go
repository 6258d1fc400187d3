package platform_test

import (
	"context"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api/platform"
	"squaremark/api/platform/standin"
)

const (
	newSecret = "whsec_u3mSg0cT1yq9mZr5m2kJx8t1oYzqkq3bQe4l5o6wK0E="
	oldSecret = "whsec_Zb8dH1n0xqvA7w2mQe4l5o6wK0Eu3mSg0cT1yq9mZr4="
	seedText  = "whsk_Y2lyY2xlLWdhcmRlbi1wbG90cy1zZWVkLTMyLWJ5dGU="
)

func parse(t testing.TB, text string) platform.Secret {
	t.Helper()
	s, err := platform.ParseSecret(text)
	require.NoError(t, err)
	return s
}

func graded() platform.Event {
	return platform.Event{
		Type: "submission.graded", Timestamp: time.Date(2031, 5, 14, 9, 26, 53, 589e6, time.UTC),
		Data: map[string]any{"submission": "s-17", "marks": "13/2"}, Identity: []string{"https://courses.example", "s-17", "1"},
	}
}

func TestWebhookArrives(t *testing.T) {
	for name, receiver := range map[string]platform.Secret{
		"new-secret": parse(t, newSecret), "old-secret": parse(t, oldSecret), "public-key": parse(t, seedText).Public(),
	} {
		t.Run(name, func(t *testing.T) {
			c := open(t, standin.Config{WebhookSecrets: []platform.Secret{receiver}}, platform.ClientOptions{})
			hook := platform.Webhook{
				Name: "parents", URL: c.HookURL(), AllowPlainHTTP: true, AllowLoopback: true,
				Secrets: []platform.Secret{parse(t, newSecret), parse(t, oldSecret), parse(t, seedText)},
			}
			outcome, err := c.client.PostWebhook(context.Background(), &hook, graded())
			require.NoError(t, err)
			assert.Equal(t, platform.Delivered, outcome.State)
			// The same event again has the same id, and so one effect.
			_, err = c.client.PostWebhook(context.Background(), &hook, graded())
			require.NoError(t, err)
			got := c.Webhooks()
			require.Len(t, got, 1)
			assert.Equal(t, platform.EventID(graded().Identity...), got[0].ID)
			assert.Equal(t, "submission.graded", got[0].Type)
			assert.JSONEq(t, `{"type":"submission.graded","timestamp":"2031-05-14T09:26:53.589Z","data":{"submission":"s-17","marks":"13/2"}}`, string(got[0].Body))
			request := c.Seen(standin.HooksEndpoint)[0]
			assert.Equal(t, "application/json", request.Header.Get("Content-Type"))
			assert.Len(t, strings.Split(request.Header.Get("Webhook-Signature"), " "), 3)
			assert.Len(t, c.log.FilterMessageSnippet("relaxed").All(), 1)
		})
	}
}

// Source: Standard Webhooks 1.0.0: id and body stay, time and signature are those of the attempt.
func TestWebhookAttempts(t *testing.T) {
	var seconds atomic.Int64
	clock := func() time.Time { return time.Unix(1936517213+5*seconds.Add(1), 0) }
	c := open(t, standin.Config{WebhookSecrets: []platform.Secret{parse(t, newSecret)}, Clock: func() time.Time { return time.Unix(1936517213, 0) }},
		platform.ClientOptions{Clock: clock})
	hook := platform.Webhook{Name: "parents", URL: c.HookURL(), AllowPlainHTTP: true, AllowLoopback: true, Secrets: []platform.Secret{parse(t, newSecret)}}
	c.Fail(standin.HooksEndpoint, standin.Fault{Status: 503}, standin.Fault{Reset: true}, standin.Fault{Status: 429})
	outcome, err := c.client.PostWebhook(context.Background(), &hook, graded())
	require.NoError(t, err)
	assert.Equal(t, platform.Delivered, outcome.State)
	assert.Equal(t, 4, outcome.Attempts)
	seen := c.Seen(standin.HooksEndpoint)
	require.Len(t, seen, 4)
	for i, request := range seen {
		assert.Equal(t, seen[0].Header.Get("Webhook-Id"), request.Header.Get("Webhook-Id"))
		assert.Equal(t, string(seen[0].Body), string(request.Body))
		at, err := strconv.ParseInt(request.Header.Get("Webhook-Timestamp"), 10, 64)
		require.NoError(t, err)
		_, err = platform.VerifyWebhook(hook.Secrets, request.Header, request.Body, time.Unix(at, 0))
		assert.NoError(t, err)
		if i > 0 {
			assert.NotEqual(t, seen[i-1].Header.Get("Webhook-Timestamp"), request.Header.Get("Webhook-Timestamp"))
			assert.NotEqual(t, seen[i-1].Header.Get("Webhook-Signature"), request.Header.Get("Webhook-Signature"))
		}
	}
	assert.Len(t, c.Webhooks(), 1)
}

func TestWebhookRefusals(t *testing.T) {
	c := open(t, standin.Config{}, platform.ClientOptions{})
	other := open(t, standin.Config{}, platform.ClientOptions{})
	hook := platform.Webhook{Name: "parents", URL: c.HookURL(), AllowPlainHTTP: true, AllowLoopback: true, Secrets: []platform.Secret{parse(t, newSecret)}}
	send := func() platform.Outcome {
		outcome, err := c.client.PostWebhook(context.Background(), &hook, graded())
		require.NoError(t, err)
		return outcome
	}
	for _, status := range []int{301, 307, 308, 400, 404, 410} {
		c.Fail(standin.HooksEndpoint, standin.Fault{Status: status, Header: map[string]string{"Location": other.HookURL()}, Body: "CANARY"})
		outcome := send()
		assert.Equal(t, platform.Refused, outcome.State, "status %d", status)
		assert.Equal(t, 1, outcome.Attempts)
		assert.NotContains(t, fmt.Sprintf("%+v", outcome), "CANARY")
	}
	assert.Empty(t, other.Seen(standin.HooksEndpoint))
	assert.Equal(t, http.StatusUnauthorized, send().Status, "the receiver knows no secret of ours")
	assert.Empty(t, c.Webhooks())
	for _, text := range []string{newSecret[6:], "s-17", "CANARY"} {
		assert.NotContains(t, fmt.Sprintf("%+v", c.log.All()), text)
	}

	before := len(c.Seen(standin.HooksEndpoint))
	for name, call := range map[string]func() (platform.Outcome, error){
		"missing": func() (platform.Outcome, error) { return c.client.PostWebhook(context.Background(), nil, graded()) },
		"hook": func() (platform.Outcome, error) {
			return c.client.PostWebhook(context.Background(), &platform.Webhook{Name: "parents", URL: c.HookURL()}, graded())
		},
		"event": func() (platform.Outcome, error) {
			return c.client.PostWebhook(context.Background(), &hook, platform.Event{})
		},
	} {
		outcome, err := call()
		assert.Error(t, err, name)
		assert.Equal(t, platform.Refused, outcome.State, name)
	}
	closed := hook
	closed.AllowLoopback = false
	outcome, err := c.client.PostWebhook(context.Background(), &closed, graded())
	require.NoError(t, err)
	assert.Equal(t, platform.Refused, outcome.State)
	assert.Contains(t, outcome.Reason, "out of reach")
	assert.Len(t, c.Seen(standin.HooksEndpoint), before)
}
