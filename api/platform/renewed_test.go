package platform

import (
	"context"
	"net/http"
	"net/http/httptest"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// An issuer that did not change keeps the keys that were read; one that did, or is new, reads its own; one that is
// gone is refused. The old verifier goes on as it was.
func TestRenewedVerifierKeepsKeySetsThatWereRead(t *testing.T) {
	key, err := GenerateSigningKey(2048)
	require.NoError(t, err)
	keys, err := NewKeySet(key)
	require.NoError(t, err)
	public, err := keys.PublicJWKS()
	require.NoError(t, err)
	var readings atomic.Int64
	address := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		readings.Add(1)
		_, _ = w.Write(public)
	}))
	t.Cleanup(address.Close)
	config := func(issuer, audience string) IssuerConfig {
		return IssuerConfig{
			Issuer: issuer, Audience: audience, KeySetURL: address.URL, AllowPlainHTTP: true, AllowLoopback: true,
		}
	}
	token := func(issuer, audience string) string {
		now := time.Now().Unix()
		text, err := key.Sign("JWT", map[string]any{"iss": issuer, "aud": audience, "sub": "courses", "iat": now, "exp": now + 300})
		require.NoError(t, err)
		return text
	}
	takes := func(v *Verifier, issuer, audience string) bool {
		caller, _ := v.Verify(context.Background(), token(issuer, audience))
		return caller != nil
	}
	first, err := NewVerifier([]IssuerConfig{config("https://evening.example", "marks")}, VerifierOptions{})
	require.NoError(t, err)
	require.True(t, takes(first, "https://evening.example", "marks"))
	require.EqualValues(t, 1, readings.Load())

	second, err := first.Renewed([]IssuerConfig{config("https://evening.example", "marks"), config("https://morning.example", "marks")})
	require.NoError(t, err)
	assert.True(t, takes(second, "https://evening.example", "marks"))
	assert.EqualValues(t, 1, readings.Load(), "unchanged: not read again")
	assert.True(t, takes(second, "https://morning.example", "marks"))
	assert.EqualValues(t, 2, readings.Load())
	assert.False(t, takes(first, "https://morning.example", "marks"), "the old one knows no more than before")

	third, err := second.Renewed([]IssuerConfig{config("https://evening.example", "other")})
	require.NoError(t, err)
	assert.True(t, takes(third, "https://evening.example", "other"))
	assert.EqualValues(t, 3, readings.Load(), "changed: read again")
	assert.False(t, takes(third, "https://morning.example", "marks"), "gone")

	_, err = second.Renewed([]IssuerConfig{config("", "")})
	assert.Error(t, err)
}

// Whoever counts is told of each call to a token endpoint, and of none that the cache saved.
func TestTokenCallsAreTold(t *testing.T) {
	refusing := false
	var calls []error
	endpoint := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "application/json")
		if refusing {
			w.WriteHeader(http.StatusBadRequest)
			return
		}
		_, _ = w.Write([]byte(`{"access_token":"t-1","token_type":"Bearer","expires_in":3600,"scope":"` + ScoreScope + `"}`))
	}))
	t.Cleanup(endpoint.Close)
	key, err := GenerateSigningKey(2048)
	require.NoError(t, err)
	keys, err := NewKeySet(key)
	require.NoError(t, err)
	r := &Registration{
		Issuer: "https://evening.example", ClientID: "c", TokenURL: endpoint.URL, TokenAudience: "a",
		LineItemOrigins: []string{endpoint.URL}, Keys: keys, AllowPlainHTTP: true, AllowLoopback: true,
	}
	client := NewClient(ClientOptions{OnToken: func(about *Registration, err error) {
		assert.Same(t, r, about)
		calls = append(calls, err)
	}})
	_, err = client.tokens.Token(t.Context(), r, ScoreScope)
	require.NoError(t, err)
	_, err = client.tokens.Token(t.Context(), r, ScoreScope)
	require.NoError(t, err)
	require.Len(t, calls, 1)
	assert.NoError(t, calls[0])
	refusing = true
	client.tokens.Drop(r, "t-1", ScoreScope)
	_, err = client.tokens.Token(t.Context(), r, ScoreScope)
	require.Error(t, err)
	require.Len(t, calls, 2)
	assert.Error(t, calls[1])
}
