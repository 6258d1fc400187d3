package platform

import (
	"context"
	"math/rand/v2"
	"time"
)

// RetryPolicy bounds the repeats inside one call. A zero field takes the default.
//
// Source of the shape (growing waits with jitter, Retry-After respected): Standard Webhooks 1.0.0, deliverability;
// RFC 9110, section 10.2.3. The numbers are our choice for a sender that keeps nothing.
type RetryPolicy struct {
	Attempts int           // how often a message is sent at most; default 4
	First    time.Duration // the wait before the second attempt, doubled each time; default 500 ms
	Longest  time.Duration // the longest wait; default 10 s
	Total    time.Duration // the whole call, waits included; default 30 s
}

func (p RetryPolicy) withDefaults() RetryPolicy {
	if p.Attempts <= 0 {
		p.Attempts = 4
	}
	if p.First <= 0 {
		p.First = 500 * time.Millisecond
	}
	if p.Longest <= 0 {
		p.Longest = 10 * time.Second
	}
	if p.Total <= 0 {
		p.Total = 30 * time.Second
	}
	return p
}

// wait is how long to wait before the next attempt: what the other side asked for, or else a doubling wait; on top of
// it up to a quarter at random, so that many senders do not come back at the same moment.
func (p RetryPolicy) wait(failed int, asked time.Duration) time.Duration {
	wait := p.First
	for i := 1; i < failed && wait < p.Longest; i++ {
		wait *= 2
	}
	wait = max(min(wait, p.Longest), asked)
	return wait + rand.N(wait/4+1)
}

// repeat sends until there is a final answer, attempts are used up, or the deadline leaves no room for another one.
// Its outcome is that of the last attempt.
func (p RetryPolicy) repeat(ctx context.Context, send func(ctx context.Context, number int) attempt) Outcome {
	ctx, cancel := context.WithTimeout(ctx, p.Total)
	defer cancel()
	deadline, _ := ctx.Deadline()
	for number := 1; ; number++ {
		last := send(ctx, number)
		if last.State != Retry || number >= p.Attempts || ctx.Err() != nil {
			return last.Outcome
		}
		wait := p.wait(number, last.RetryAfter)
		if time.Now().Add(wait).After(deadline) || pause(ctx, wait) != nil {
			return last.Outcome
		}
	}
}
