package platform

import (
	"context"
	"crypto/x509"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/netip"
	"strings"
	"sync"
	"time"

	"golang.org/x/sync/singleflight"
)

// maxCachedTokens bounds the memory of the cache.
const maxCachedTokens = 1024

// Tokens asks platforms for access tokens and keeps them, in memory only, until about 90 % of their life is over.
// Safe for concurrent use; for one registration and set of scopes there is never more than one call at a time.
//
// Source: 1EdTech Security Framework 1.0, sections 4.1 and 7.1; RFC 6749, section 4.4.
type Tokens struct {
	http   clients
	clock  Clock
	flight singleflight.Group
	ended  func(*Registration, error) // nil, or told of the end of each call

	mu    sync.Mutex
	cache map[string]cachedToken
}

type cachedToken struct {
	text  string
	until time.Time
}

// TokensOptions say how tokens are asked for.
type TokensOptions struct {
	Clock   Clock
	Limits  Limits
	RootCAs *x509.CertPool // nil: the system's
	// Networks are private networks that calls may reach, from [ParseNetworks].
	Networks []netip.Prefix
}

// NewTokens starts with an empty cache.
func NewTokens(o TokensOptions) *Tokens {
	return newTokens(newClients(o.Limits, o.RootCAs, o.Networks), o.Clock)
}

func newTokens(http clients, clock Clock) *Tokens {
	return &Tokens{http: http, clock: clock, cache: map[string]cachedToken{}}
}

// Token is an access token with at least the given scopes, from the cache or fresh.
//
// Errors: a *[TokenError], or the context's error.
func (t *Tokens) Token(ctx context.Context, r *Registration, scopes ...string) (string, error) {
	scopes = sortedScopes(scopes)
	key := tokenKey(r, scopes)
	if text, ok := t.cached(key); ok {
		return text, nil
	}
	// The call serves everyone who waits for it, so it does not end with the context of whoever came first.
	result := t.flight.DoChan(key, func() (any, error) {
		if text, ok := t.cached(key); ok {
			return text, nil
		}
		text, err := t.fetch(context.WithoutCancel(ctx), r, key, scopes)
		if t.ended != nil {
			t.ended(r, err)
		}
		return text, err
	})
	select {
	case <-ctx.Done():
		return "", context.Cause(ctx)
	case got := <-result:
		if got.Err != nil {
			return "", got.Err
		}
		return got.Val.(string), nil
	}
}

// Drop forgets a token that a service did not accept. A newer token that took its place meanwhile is kept.
func (t *Tokens) Drop(r *Registration, text string, scopes ...string) {
	key := tokenKey(r, sortedScopes(scopes))
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.cache[key].text == text {
		delete(t.cache, key)
	}
}

// tokenKey keeps tenants apart: quoted parts cannot run into each other.
func tokenKey(r *Registration, scopes []string) string {
	return fmt.Sprintf("%q %q %q %q %q", r.Issuer, r.ClientID, r.DeploymentID, r.TokenURL, scopes)
}

func (t *Tokens) cached(key string) (string, bool) {
	t.mu.Lock()
	defer t.mu.Unlock()
	token, ok := t.cache[key]
	return token.text, ok && t.clock.now().Before(token.until)
}

func (t *Tokens) keep(key string, token grantedToken, asked time.Time) {
	if token.life <= 0 {
		return
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	if len(t.cache) >= maxCachedTokens {
		t.makeRoom()
	}
	t.cache[key] = cachedToken{text: token.text, until: asked.Add(token.life / 10 * 9)}
}

// makeRoom drops what is over, or else the token that ends first.
func (t *Tokens) makeRoom() {
	now := t.clock.now()
	var first string
	for key, token := range t.cache {
		if !now.Before(token.until) {
			delete(t.cache, key)
		} else if first == "" || token.until.Before(t.cache[first].until) {
			first = key
		}
	}
	if len(t.cache) >= maxCachedTokens {
		delete(t.cache, first)
	}
}

func (t *Tokens) fetch(ctx context.Context, r *Registration, key string, scopes []string) (string, error) {
	asked := t.clock.now()
	signed, err := assertion(r, asked)
	if err != nil {
		return "", &TokenError{Reason: "the assertion could not be signed"}
	}
	where, err := parseTarget(r.TokenURL, r.AllowPlainHTTP)
	if err != nil {
		return "", &TokenError{Reason: "the token URL of the registration is not usable"}
	}
	request, err := http.NewRequestWithContext(ctx, http.MethodPost, where.raw, strings.NewReader(tokenForm(signed, scopes).Encode()))
	if err != nil {
		return "", &TokenError{Reason: "the token URL of the registration is not usable"}
	}
	request.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	request.Header.Set("Accept", "application/json")
	prepareRequest(request)
	answer, err := t.http.pick(r.AllowLoopback).Do(request)
	if err != nil {
		return "", &TokenError{Reason: "the token endpoint " + transportFault(err), Retryable: !errors.Is(err, errAddress)}
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(io.LimitReader(answer.Body, maxTokenAnswer+1))
	if err != nil {
		return "", &TokenError{Reason: "the answer of the token endpoint broke off", Status: answer.StatusCode, Retryable: true}
	}
	if len(body) > maxTokenAnswer {
		return "", &TokenError{Reason: "the answer of the token endpoint is too long", Status: answer.StatusCode}
	}
	wait, _ := ParseRetryAfter(answer.Header.Get("Retry-After"), t.clock.now())
	token, refused := readTokenAnswer(answer.StatusCode, wait, body, scopes)
	if refused != nil {
		return "", refused
	}
	t.keep(key, token, asked)
	return token.text, nil
}
