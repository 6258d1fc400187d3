package platform

import (
	"context"
	"errors"
	"net/http"
	"strconv"
	"time"

	standardwebhooks "github.com/standard-webhooks/standard-webhooks/libraries/go"
)

// PostWebhook sends a signed event. The body is built once and the id is the same over all attempts; each attempt
// carries and signs its own time. Passing trouble is retried inside the client's deadline.
//
// Errors: only for a webhook or event that breaks a rule; then nothing was sent, and the outcome is Refused.
// Cost: at most RetryPolicy.Attempts posts and RetryPolicy.Total time.
// Source: Standard Webhooks 1.0.0. Its schedule of days needs a store; a caller without one repeats the submission.
func (c *Client) PostWebhook(ctx context.Context, hook *Webhook, event Event) (Outcome, error) {
	refused := func(err error) (Outcome, error) {
		return Outcome{State: Refused, Reason: "nothing was sent: " + err.Error()}, err
	}
	if hook == nil {
		return refused(errors.New("webhook: missing"))
	}
	if err := hook.Validate(); err != nil {
		return refused(err)
	}
	body, err := event.body()
	if err != nil {
		return refused(err)
	}
	c.warn("webhook", hook.Name, hook.relaxed())
	started := time.Now()
	id := EventID(event.Identity...)
	posts := 0
	outcome := c.retry.repeat(ctx, func(ctx context.Context, _ int) attempt {
		at := c.clock.now()
		signed, err := signatures(hook.Secrets, id, at, body)
		if err != nil {
			return attempt{Outcome: Outcome{State: Refused, Reason: err.Error()}}
		}
		posts++
		header := http.Header{}
		header.Set("Content-Type", "application/json")
		header.Set(standardwebhooks.HeaderWebhookID, id)
		header.Set(standardwebhooks.HeaderWebhookTimestamp, strconv.FormatInt(at.Unix(), 10))
		header.Set(standardwebhooks.HeaderWebhookSignature, signed)
		return c.post(ctx, hook.AllowLoopback, hook.URL, header, body, judgeWebhook)
	})
	outcome.Attempts = posts
	c.note("webhook", hook.Name, started, outcome)
	return outcome, nil
}
