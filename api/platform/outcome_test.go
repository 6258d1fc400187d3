package platform

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Source: LTI Assignment and Grade Services 2.0, companion OpenAPI; the actions are our reading.
func TestScoreAnswerVectors(t *testing.T) {
	var file struct {
		Handling struct {
			Cases []struct {
				Status int
				Action string
			}
		} `json:"response_handling"`
	}
	vectors(t, "ags-score.json", &file)
	require.Len(t, file.Handling.Cases, 17)
	for _, c := range file.Handling.Cases {
		a := judgeScore(c.Status, 7*time.Second)
		want := map[string]State{
			"done": Delivered, "permanent": Refused, "stale": Stale, "retry-later": Retry, "new-token-then-retry-once": Refused,
		}[c.Action]
		assert.Equal(t, want, a.State, "status %d", c.Status)
		assert.Equal(t, c.Status, a.Status)
		assert.Equal(t, c.Action == "new-token-then-retry-once", a.renew, "status %d", c.Status)
		assert.NotEmpty(t, a.Reason)
		if want == Retry {
			assert.Equal(t, 7*time.Second, a.RetryAfter)
		} else {
			assert.Zero(t, a.RetryAfter)
		}
	}
}

// Source: Standard Webhooks 1.0.0, delivery success and failure.
func TestWebhookAnswers(t *testing.T) {
	for status, want := range map[int]State{
		200: Delivered, 202: Delivered, 204: Delivered, 299: Delivered, 300: Refused, 302: Refused, 308: Refused,
		400: Refused, 401: Refused, 404: Refused, 410: Refused, 429: Retry, 500: Retry, 502: Retry, 503: Retry, 504: Retry,
	} {
		assert.Equal(t, want, judgeWebhook(status, 0).State, "status %d", status)
	}
	assert.Contains(t, judgeWebhook(410, 0).Reason, "gone")
}

func TestWaitsGrowAndRespectTheOtherSide(t *testing.T) {
	p := RetryPolicy{First: 100 * time.Millisecond, Longest: time.Second}.withDefaults()
	for failed, least := range map[int]time.Duration{1: 100, 2: 200, 3: 400, 4: 800, 5: 1000, 60: 1000} {
		least *= time.Millisecond
		for range 50 {
			wait := p.wait(failed, 0)
			assert.True(t, wait >= least && wait <= least*5/4+1, "%d: %v", failed, wait)
		}
	}
	wait := p.wait(1, 20*time.Second)
	assert.True(t, wait >= 20*time.Second && wait <= 25*time.Second+1)
}

func TestRepeatKeepsItsBounds(t *testing.T) {
	trouble := func(counter *int) func(context.Context, int) attempt {
		return func(_ context.Context, number int) attempt {
			*counter++
			assert.Equal(t, *counter, number)
			return judgeScore(503, 0)
		}
	}
	count := 0
	p := RetryPolicy{Attempts: 3, First: time.Microsecond}.withDefaults()
	assert.Equal(t, Retry, p.repeat(context.Background(), trouble(&count)).State)
	assert.Equal(t, 3, count)

	count = 0
	p = RetryPolicy{First: time.Hour, Longest: time.Hour}.withDefaults()
	started := time.Now()
	assert.Equal(t, Retry, p.repeat(context.Background(), trouble(&count)).State)
	assert.Equal(t, 1, count, "no waiting when the deadline leaves no room")
	assert.Less(t, time.Since(started), time.Second)

	count = 0
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	assert.Equal(t, Retry, p.repeat(ctx, trouble(&count)).State)
	assert.Equal(t, 1, count)
}

// Source: RFC 6749, section 5; 1EdTech Security Framework 1.0, sections 4.1 and 7.1.
func TestTokenAnswerVectors(t *testing.T) {
	var file struct {
		Answers struct {
			Cases []struct {
				ID     string
				Status int
				Body   rawText
				Usable bool
			}
		} `json:"token_response"`
	}
	vectors(t, "lti-claims.json", &file)
	require.Len(t, file.Answers.Cases, 8)
	for _, c := range file.Answers.Cases {
		t.Run(c.ID, func(t *testing.T) {
			token, err := readTokenAnswer(c.Status, 0, []byte(c.Body), []string{ScoreScope})
			if !c.Usable {
				require.NotNil(t, err)
				assert.False(t, err.Retryable, "a matter of configuration, not of trying again")
				assert.NotContains(t, err.Error(), "a1")
				return
			}
			require.Nil(t, err)
			assert.Equal(t, "a1", token.text)
			if c.ID == "ok-no-expiry" {
				assert.Equal(t, briefTokenLife, token.life)
			} else {
				assert.Equal(t, time.Hour, token.life)
			}
		})
	}
}

// rawText keeps a JSON value as it stands in the file.
type rawText []byte

func (r *rawText) UnmarshalJSON(text []byte) error {
	*r = append([]byte(nil), text...)
	return nil
}

func TestTokenAnswersBeyondThePublishedCases(t *testing.T) {
	const good = `{"access_token":"t","token_type":"Bearer"`
	for _, row := range []struct {
		name, body string
		status     int
		retryable  bool
		reason     string // part of the error, "" for a usable token
		life       time.Duration
	}{
		{"extra-scope", good + `,"scope":"` + ScoreScope + ` other"}`, 200, false, "", briefTokenLife},
		{"life-as-text", good + `,"expires_in":"3600"}`, 200, false, "", briefTokenLife},
		{"life-over", good + `,"expires_in":0}`, 200, false, "", 0},
		{"life-negative", good + `,"expires_in":-1e99}`, 200, false, "", 0},
		{"life-huge", good + `,"expires_in":1e300}`, 200, false, "", maxTokenLife},
		{"created", good + `}`, 201, false, "", briefTokenLife},
		{"scope-list", good + `,"scope":["` + ScoreScope + `"]}`, 200, false, "less than the scope", 0},
		{"no-type", `{"access_token":"t"}`, 200, false, "another type", 0},
		{"token-number", `{"access_token":7,"token_type":"Bearer"}`, 200, false, "empty token", 0},
		{"token-with-line-break", `{"access_token":"a\r\nb","token_type":"Bearer"}`, 200, false, "cannot be sent", 0},
		{"twice", good + `,"access_token":"u"}`, 200, false, "not a token response", 0},
		{"html", `<html>`, 200, false, "not a token response", 0},
		{"trouble", `{}`, 503, true, "passing trouble", 0},
		{"slow-down", ``, 429, true, "passing trouble", 0},
		{"redirect", ``, 307, false, "redirect", 0},
		{"unauthorized-client", `{"error":"unauthorized_client"}`, 400, false, "does not let this client", 0},
		{"grant", `{"error":"unsupported_grant_type"}`, 400, false, "client-credentials", 0},
		{"request", `{"error":"invalid_request"}`, 400, false, "malformed", 0},
		{"unknown-error", `{"error":"canary"}`, 400, false, "refused", 0},
		{"forbidden", `canary`, 403, false, "refused", 0},
	} {
		t.Run(row.name, func(t *testing.T) {
			token, err := readTokenAnswer(row.status, time.Second, []byte(row.body), []string{ScoreScope})
			if row.reason == "" {
				require.Nil(t, err)
				assert.Equal(t, row.life, token.life)
				return
			}
			require.NotNil(t, err)
			assert.Contains(t, err.Error(), row.reason)
			assert.Equal(t, row.retryable, err.Retryable)
			assert.NotContains(t, err.Error(), "canary")
			assert.Equal(t, row.retryable, err.RetryAfter == time.Second)
		})
	}
}
