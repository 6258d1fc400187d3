package platform

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"net/http"
)

// Trace is the distributed trace that outgoing calls belong to. Both parts are made of random digits and tell about
// nobody.
type Trace struct {
	ID      string // 32 lower-case hex digits, not all zero; anything else: calls carry no trace
	Sampled bool
}

type traceKey struct{}

// WithTrace lets the calls made under this context carry the trace: each with a span id of its own, and without a
// tracestate, which is nothing for outside hosts.
//
// Source: W3C Trace Context, Traceparent Header, Mutating, Security Considerations.
func WithTrace(ctx context.Context, t Trace) context.Context {
	return context.WithValue(ctx, traceKey{}, t)
}

// prepareRequest sets what every outgoing request carries.
func prepareRequest(request *http.Request) {
	request.Header.Set("User-Agent", userAgent)
	t, ok := request.Context().Value(traceKey{}).(Trace)
	if !ok || len(t.ID) != 32 {
		return
	}
	flags := "-00"
	if t.Sampled {
		flags = "-01"
	}
	span := make([]byte, 8)
	rand.Read(span)
	request.Header.Set("Traceparent", "00-"+t.ID+"-"+hex.EncodeToString(span)+flags)
}
