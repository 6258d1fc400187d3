package platform

import (
	"bytes"
	"context"
	"crypto/x509"
	"errors"
	"io"
	"net/http"
	"net/netip"
	"sync"
	"time"

	"go.uber.org/zap"
	"golang.org/x/sync/singleflight"
)

// userAgent names this service to other hosts.
const userAgent = "squaremark"

// maxDrained and drainTime bound how much of an answer is read, only to keep the connection; it is thrown away.
const (
	maxDrained = 4 << 10
	drainTime  = 500 * time.Millisecond
)

// Client posts scores and webhooks. Safe for concurrent use.
type Client struct {
	http   clients
	tokens *Tokens
	clock  Clock
	retry  RetryPolicy
	log    *zap.Logger
	warned sync.Map           // relaxed targets already warned about
	making singleflight.Group // line items
}

// ClientOptions say how a client sends. Every zero field has a default.
type ClientOptions struct {
	Clock   Clock
	Limits  Limits // of one attempt
	Retry   RetryPolicy
	RootCAs *x509.CertPool // nil: the system's
	// Networks are private networks that calls may reach, from [ParseNetworks].
	Networks []netip.Prefix
	Log      *zap.Logger // nil: silent. Gets names of platforms and webhooks, states, counts and durations only
	// OnToken, where set, is told of each end of asking a platform for an access token: nil, or what went wrong. It
	// must return at once.
	OnToken func(r *Registration, err error)
}

// NewClient makes a client with its own cache of access tokens and its own connections.
func NewClient(o ClientOptions) *Client {
	if o.Log == nil {
		o.Log = zap.NewNop()
	}
	http := newClients(o.Limits, o.RootCAs, o.Networks)
	tokens := newTokens(http, o.Clock)
	tokens.ended = o.OnToken
	return &Client{
		http:   http,
		tokens: tokens,
		clock:  o.Clock,
		retry:  o.Retry.withDefaults(),
		log:    o.Log,
	}
}

// post sends one message once.
func (c *Client) post(ctx context.Context, allowLoopback bool, url string, header http.Header, body []byte,
	judge func(int, time.Duration) attempt) attempt {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	request, err := http.NewRequestWithContext(ctx, http.MethodPost, url, bytes.NewReader(body))
	if err != nil {
		return attempt{Outcome: Outcome{State: Refused, Reason: "the address is not usable"}}
	}
	request.Header = header
	prepareRequest(request)
	answer, err := c.http.pick(allowLoopback).Do(request)
	if err != nil {
		return judgeFault(err)
	}
	defer answer.Body.Close()
	wait, _ := ParseRetryAfter(answer.Header.Get("Retry-After"), c.clock.now())
	// A body that breaks off or drips does not change the verdict of the status line.
	defer time.AfterFunc(drainTime, cancel).Stop()
	if _, err := io.CopyN(io.Discard, answer.Body, maxDrained); err != nil && !errors.Is(err, io.EOF) {
		c.log.Debug("answer broke off", zap.Int("status", answer.StatusCode))
	}
	return judge(answer.StatusCode, wait)
}

// warn says once per target that switches for tests and the demo are on.
func (c *Client) warn(kind, name string, relaxed []string) {
	if len(relaxed) == 0 {
		return
	}
	if _, before := c.warned.LoadOrStore(kind+" "+name, true); !before {
		c.log.Warn("outgoing calls are relaxed: for tests and the demo only",
			zap.String("kind", kind), zap.String("name", name), zap.Strings("relaxed", relaxed))
	}
}

// note logs the end of a call.
func (c *Client) note(kind, name string, started time.Time, o Outcome) {
	c.log.Info("call to another service ended",
		zap.String("kind", kind), zap.String("name", name), zap.String("state", string(o.State)),
		zap.Int("status", o.Status), zap.Int("attempts", o.Attempts), zap.String("reason", o.Reason),
		zap.Duration("took", time.Since(started)))
}
