package platform

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"time"
)

// authorized sends messages that need an access token of one scope. A token that is not accepted is replaced once in
// its life.
type authorized struct {
	client       *Client
	registration *Registration
	scope        string
	renewed      bool // the access token was replaced
}

// send asks for a token and makes the call with it, again with a new token where the first one was not accepted.
func (a *authorized) send(ctx context.Context, call func(token string) attempt) attempt {
	end := a.once(ctx, call)
	if end.renew && !a.renewed {
		a.renewed = true
		end = a.once(ctx, call)
	}
	return end
}

func (a *authorized) once(ctx context.Context, call func(token string) attempt) attempt {
	tokens := a.client.tokens
	token, err := tokens.Token(ctx, a.registration, a.scope)
	if err != nil {
		return judgeTokenError(err)
	}
	end := call(token)
	if end.renew {
		tokens.Drop(a.registration, token, a.scope)
	}
	return end
}

// message is a request in the making.
type message struct {
	method, url  string
	accept, kind string // media types; kind is that of the body
	body         []byte
}

// answer is what came back, read and bounded. Its body is data from outside.
type answer struct {
	header http.Header
	body   []byte
}

// fetch sends a message once and reads the answer, at most limit octets. The media type must be the one asked for.
func (a *authorized) fetch(ctx context.Context, m message, limit int64) (got answer, end attempt) {
	end = a.send(ctx, func(token string) attempt {
		var verdict attempt
		got, verdict = a.client.fetch(ctx, a.registration.AllowLoopback, m, token, limit)
		return verdict
	})
	return got, end
}

func (c *Client) fetch(ctx context.Context, allowLoopback bool, m message, token string, limit int64) (answer, attempt) {
	request, err := http.NewRequestWithContext(ctx, m.method, m.url, bytes.NewReader(m.body))
	if err != nil {
		return answer{}, attempt{Outcome: Outcome{State: Refused, Reason: "the address is not usable"}}
	}
	prepareRequest(request)
	request.Header.Set("Authorization", "Bearer "+token)
	request.Header.Set("Accept", m.accept)
	if m.kind != "" {
		request.Header.Set("Content-Type", m.kind)
	}
	response, err := c.http.pick(allowLoopback).Do(request)
	if err != nil {
		return answer{}, judgeFault(err)
	}
	defer response.Body.Close()
	wait, _ := ParseRetryAfter(response.Header.Get("Retry-After"), c.clock.now())
	end := judgeCall(response.StatusCode, wait)
	if end.State != Delivered {
		return answer{}, end
	}
	unusable := func(state State, reason string) (answer, attempt) {
		return answer{}, attempt{Outcome: Outcome{State: state, Status: response.StatusCode, Reason: reason}, unclear: true}
	}
	body, err := io.ReadAll(io.LimitReader(response.Body, limit+1))
	switch {
	case err != nil:
		return unusable(Retry, "the answer broke off")
	case int64(len(body)) > limit:
		return unusable(Refused, "the answer is longer than this service reads")
	case mediaType(response.Header) != m.accept:
		return unusable(Refused, "the answer is of another media type than asked for")
	}
	return answer{response.Header, body}, end
}

// CallError says why something could not be read from a platform or made on it, in words of this package. Its state is
// Refused or Retry.
type CallError struct{ Outcome }

// Error is the reason.
func (e *CallError) Error() string { return e.Reason }

// RetryIn tells whether trying later makes sense, and what the platform asked to wait.
func (e *CallError) RetryIn() (time.Duration, bool) { return e.RetryAfter, e.State == Retry }
