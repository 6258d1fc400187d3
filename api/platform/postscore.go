package platform

import (
	"context"
	"errors"
	"net/http"
	"time"
)

// PostScore posts a score to a line item of the platform, with an access token it gets for the score scope alone.
//
// Passing trouble (429, 5xx, time-outs, broken connections) is retried inside the client's deadline with the very
// same bytes, so a repeat can never be taken for a second score. A token that is not accepted is replaced once. An
// answer of "not newer" after an attempt with unclear end counts as delivered: the platform holds this score or a
// later one.
//
// Errors: only for a score, registration or line item that breaks a rule; then nothing was sent, and the outcome is
// Refused. Everything else is told by the outcome.
// Cost: at most RetryPolicy.Attempts posts and RetryPolicy.Total time.
// Source: LTI Assignment and Grade Services 2.0, sections 3.4.1 to 3.4.9.
func (c *Client) PostScore(ctx context.Context, r *Registration, lineItem string, score Score) (Outcome, error) {
	refused := func(err error) (Outcome, error) {
		return Outcome{State: Refused, Reason: "nothing was sent: " + err.Error()}, err
	}
	if r == nil {
		return refused(errors.New("registration: missing"))
	}
	if err := r.Validate(); err != nil {
		return refused(err)
	}
	if err := r.CheckLineItem(lineItem); err != nil {
		return refused(err)
	}
	where, err := ScoresURL(lineItem)
	if err != nil {
		return refused(err)
	}
	body, err := score.MarshalJSON()
	if err != nil {
		return refused(err)
	}
	c.warn("score", r.Issuer, r.relaxed())
	started := time.Now()
	p := scorePost{authorized: authorized{client: c, registration: r, scope: ScoreScope}, url: where, body: body}
	outcome := c.retry.repeat(ctx, p.send)
	outcome.Attempts = p.posts
	c.note("score", r.Issuer, started, outcome)
	return outcome, nil
}

// scorePost is one score on its way.
type scorePost struct {
	authorized
	url     string
	body    []byte
	posts   int  // how often the score went out
	unclear bool // one of them ended without a clear answer
}

func (p *scorePost) send(ctx context.Context, _ int) attempt {
	a := p.authorized.send(ctx, func(token string) attempt {
		p.posts++
		header := http.Header{}
		header.Set("Authorization", "Bearer "+token)
		header.Set("Content-Type", ScoreMediaType)
		return p.client.post(ctx, p.registration.AllowLoopback, p.url, header, p.body, judgeScore)
	})
	if a.State == Stale && p.unclear {
		a.State = Delivered
		a.Reason = "taken by an earlier attempt of this call, or overtaken by a later score"
	}
	p.unclear = p.unclear || a.unclear
	return a
}

func judgeTokenError(err error) attempt {
	var refused *TokenError
	if !errors.As(err, &refused) {
		return attempt{Outcome: Outcome{State: Retry, Reason: "the time allowed was over before an access token came"}}
	}
	state := Refused
	if refused.Retryable {
		state = Retry
	}
	return attempt{Outcome: Outcome{State: state, Status: refused.Status, RetryAfter: refused.RetryAfter, Reason: refused.Error()}}
}
