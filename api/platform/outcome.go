package platform

import (
	"context"
	"errors"
	"net"
	"net/http"
	"time"
)

// State is what became of a call.
type State string

// The states of an Outcome.
const (
	Delivered State = "delivered" // the other side took it
	Stale     State = "stale"     // the other side already holds something newer; nothing is left to do
	Refused   State = "refused"   // permanent: repeating the same call makes no sense
	Retry     State = "retry"     // passing trouble outlasted the call; the caller may repeat it later
)

// Outcome is the end of one call, in words of this package. It holds nothing that the other side wrote.
type Outcome struct {
	State      State
	Status     int           // of the last answer; 0 when there was none
	RetryAfter time.Duration // with Retry: what the other side asked for, 0 when it did not
	Attempts   int           // how often the message itself was sent
	Reason     string
}

// attempt is the end of one try.
type attempt struct {
	Outcome
	unclear bool // the other side may have taken the message although no success was seen
	renew   bool // the access token was not accepted
}

// judgeScore decides on the answer to a score. Success is any 2xx.
//
// Source: LTI Assignment and Grade Services 2.0, companion OpenAPI (illustrative); RFC 6750, section 3.1.
func judgeScore(status int, retryAfter time.Duration) attempt {
	end := func(state State, reason string) attempt {
		return attempt{Outcome: Outcome{State: state, Status: status, Reason: reason}}
	}
	switch status {
	case http.StatusUnauthorized:
		a := end(Refused, "the platform did not accept the access token")
		a.renew = true
		return a
	case http.StatusForbidden:
		return end(Refused, "the platform does not take this score, for instance because the activity is closed")
	case http.StatusNotFound, http.StatusGone:
		return end(Refused, "the platform knows no such line item")
	case http.StatusConflict:
		return end(Stale, "the platform already holds a score that is not older")
	}
	return judgeOther(status, retryAfter)
}

// judgeCall decides on the answer to reading, and to making a line item.
func judgeCall(status int, retryAfter time.Duration) attempt {
	a := judgeOther(status, retryAfter)
	switch status {
	case http.StatusUnauthorized:
		a.Reason, a.renew = "the platform did not accept the access token", true
	case http.StatusForbidden:
		a.Reason = "the platform does not permit this call"
	case http.StatusNotFound, http.StatusGone:
		a.Reason = "the platform knows no such address"
	}
	return a
}

// judgeWebhook decides on the answer to a webhook. Success is any 2xx.
//
// Source: Standard Webhooks 1.0.0, delivery success and failure.
func judgeWebhook(status int, retryAfter time.Duration) attempt {
	if status == http.StatusGone {
		return attempt{Outcome: Outcome{State: Refused, Status: status, Reason: "the endpoint is gone: take it out of the configuration"}}
	}
	return judgeOther(status, retryAfter)
}

func judgeOther(status int, retryAfter time.Duration) attempt {
	a := attempt{Outcome: Outcome{Status: status}}
	switch {
	case status >= 200 && status <= 299:
		a.State, a.Reason = Delivered, "taken"
	case status >= 300 && status <= 399:
		a.State, a.Reason = Refused, "the answer was a redirect, which is never followed"
	case status == http.StatusTooManyRequests:
		a.State, a.RetryAfter, a.Reason = Retry, retryAfter, "the other side asks to slow down"
	case status >= 500:
		a.State, a.RetryAfter, a.Reason = Retry, retryAfter, "the other side is in passing trouble"
		a.unclear = true
	default:
		a.State, a.Reason = Refused, "the other side called the message malformed or not acceptable"
	}
	return a
}

// judgeFault decides on a call that got no answer.
func judgeFault(err error) attempt {
	a := attempt{Outcome: Outcome{State: Retry, Reason: "the other side " + transportFault(err)}}
	if errors.Is(err, errAddress) {
		a.State = Refused
		return a
	}
	var op *net.OpError
	a.unclear = !(errors.As(err, &op) && op.Op == "dial")
	return a
}

// transportFault names a fault of the connection without addresses or anything else from outside.
func transportFault(err error) string {
	var timeout net.Error
	var op *net.OpError
	var dns *net.DNSError
	switch {
	case errors.Is(err, errAddress):
		return "resolves to an address that is out of reach"
	case errors.Is(err, context.Canceled):
		return "was not waited for: the call was cancelled"
	case errors.Is(err, context.DeadlineExceeded), errors.As(err, &timeout) && timeout.Timeout():
		return "did not answer in time"
	case errors.As(err, &dns):
		return "has a name that cannot be resolved"
	case errors.As(err, &op) && op.Op == "dial":
		return "does not accept connections"
	}
	return "broke the connection"
}
