package platform

import (
	"context"
	"crypto/ecdsa"
	"crypto/ed25519"
	"crypto/elliptic"
	"crypto/rand"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/MicahParks/jwkset"
	"github.com/golang-jwt/jwt/v5"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Source: RFC 8725, section 3.8: two issuers, keys swapped.
func TestKeysBelongToTheirIssuer(t *testing.T) {
	second, err := GenerateSigningKey(2048)
	require.NoError(t, err)
	one, two := newMinter(t, "https://one.example", someKey(t)), newMinter(t, "https://two.example", second)
	verifier, err := NewVerifier([]IssuerConfig{one.config, two.config}, VerifierOptions{Clock: func() time.Time { return one.now }})
	require.NoError(t, err)
	_, refusal := verifier.Verify(context.Background(), one.token(t, nil))
	assert.Nil(t, refusal)
	_, refusal = verifier.Verify(context.Background(), two.token(t, nil))
	assert.Nil(t, refusal)
	_, refusal = verifier.Verify(context.Background(), one.token(t, map[string]any{"iss": "https://two.example"}))
	require.NotNil(t, refusal)
	assert.Equal(t, RefusedKey, refusal.Code)
}

func TestTypes(t *testing.T) {
	m := newMinter(t, "https://courses.example", someKey(t))
	m.config.Types = []string{"submission+jwt"}
	verifier := m.verifier(t, m.now)
	for typ, want := range map[string]bool{
		"submission+jwt": true, "Submission+JWT": true, "application/submission+jwt": true, "JWT": false, "at+jwt": false,
	} {
		token, err := m.key.Sign(typ, m.claims(nil))
		require.NoError(t, err)
		_, refusal := verifier.Verify(context.Background(), token)
		assert.Equal(t, want, refusal == nil, typ)
	}
}

// Source: RFC 7518, section 3; RFC 8037, section 3.1. One key has one algorithm.
func TestOtherAlgorithms(t *testing.T) {
	elliptic256, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	_, edwards, err := ed25519.GenerateKey(rand.Reader)
	require.NoError(t, err)
	rsaKey := someKey(t).private
	for _, row := range []struct {
		name       string
		method     jwt.SigningMethod
		private    any
		public     any
		stated     string
		algorithms []string
		want       RefusalCode
	}{
		{"es256", jwt.SigningMethodES256, elliptic256, elliptic256.Public(), "", []string{"ES256"}, ""},
		{"eddsa", jwt.SigningMethodEdDSA, edwards, edwards.Public(), "", []string{"RS256", "EdDSA"}, ""},
		{"ps256-stated", jwt.SigningMethodPS256, rsaKey, rsaKey.Public(), "PS256", []string{"RS256", "PS256"}, ""},
		{"ps256-with-rs256-key", jwt.SigningMethodPS256, rsaKey, rsaKey.Public(), "RS256", []string{"RS256", "PS256"}, RefusedAlgorithm},
		{"rs384-with-unstated-key", jwt.SigningMethodRS384, rsaKey, rsaKey.Public(), "", []string{"RS256", "RS384"}, RefusedAlgorithm},
		{"es256-not-listed", jwt.SigningMethodES256, elliptic256, elliptic256.Public(), "", []string{"RS256", "ES256"}, ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			jwk, err := jwkset.NewJWKFromKey(row.public, jwkset.JWKOptions{Metadata: jwkset.JWKMetadataOptions{KID: "k", ALG: jwkset.ALG(row.stated)}})
			require.NoError(t, err)
			set, err := json.Marshal(map[string]any{"keys": []any{jwk.Marshal()}})
			require.NoError(t, err)
			m := newMinter(t, "https://courses.example", someKey(t))
			m.config.KeySet, m.config.Algorithms = set, row.algorithms
			unsigned := jwt.NewWithClaims(row.method, jwt.MapClaims(m.claims(nil)))
			unsigned.Header["kid"] = "k"
			token, err := unsigned.SignedString(row.private)
			require.NoError(t, err)
			_, refusal := m.verifier(t, m.now).Verify(context.Background(), token)
			if row.want == "" {
				assert.Nil(t, refusal)
				return
			}
			require.NotNil(t, refusal)
			assert.Equal(t, row.want, refusal.Code)
		})
	}
}

func TestSharedSecretTokens(t *testing.T) {
	m := newMinter(t, "https://courses.example", someKey(t))
	m.config.KeySet, m.config.Shared, m.config.SharedKeyID = nil, []byte(strings.Repeat("s", 32)), "shared-1"
	verifier := m.verifier(t, m.now)
	mint := func(secret string) string {
		unsigned := jwt.NewWithClaims(jwt.SigningMethodHS256, jwt.MapClaims(m.claims(nil)))
		unsigned.Header["kid"] = "shared-1"
		token, err := unsigned.SignedString([]byte(secret))
		require.NoError(t, err)
		return token
	}
	_, refusal := verifier.Verify(context.Background(), mint(strings.Repeat("s", 32)))
	assert.Nil(t, refusal)
	_, refusal = verifier.Verify(context.Background(), mint(strings.Repeat("s", 31)))
	require.NotNil(t, refusal)
	assert.Equal(t, RefusedSignature, refusal.Code)
	_, refusal = verifier.Verify(context.Background(), m.token(t, nil))
	require.NotNil(t, refusal)
	assert.Equal(t, RefusedAlgorithm, refusal.Code)
}

func TestIssuerConfigurations(t *testing.T) {
	good := newMinter(t, "https://courses.example", someKey(t)).config
	for _, row := range []struct {
		name   string
		change func(*IssuerConfig)
		want   string
	}{
		{"good", func(*IssuerConfig) {}, ""},
		{"no-issuer", func(c *IssuerConfig) { c.Issuer = "" }, "issuer or audience"},
		{"no-audience", func(c *IssuerConfig) { c.Audience = "" }, "issuer or audience"},
		{"two-sources", func(c *IssuerConfig) { c.KeySetURL = "https://courses.example/jwks" }, "exactly one source"},
		{"no-source", func(c *IssuerConfig) { c.KeySet = nil }, "exactly one source"},
		{"hmac-with-public-keys", func(c *IssuerConfig) { c.Algorithms = []string{"RS256", "HS256"} }, "public keys"},
		{"none", func(c *IssuerConfig) { c.Algorithms = []string{"none"} }, "public keys"},
		{"leeway", func(c *IssuerConfig) { c.Leeway = time.Hour }, "leeway"},
		{"negative", func(c *IssuerConfig) { c.MaxAge = -1 }, "negative"},
		{"short-secret", func(c *IssuerConfig) { c.KeySet, c.Shared, c.SharedKeyID = nil, make([]byte, 31), "k" }, "32 octets"},
		{"secret-without-id", func(c *IssuerConfig) { c.KeySet, c.Shared = nil, make([]byte, 32) }, "key id"},
		{"secret-with-rs256", func(c *IssuerConfig) {
			c.KeySet, c.Shared, c.SharedKeyID, c.Algorithms = nil, make([]byte, 32), "k", []string{"RS256"}
		}, "nothing else"},
		{"plain-http", func(c *IssuerConfig) { c.KeySet, c.KeySetURL = nil, "http://courses.example/jwks" }, "https"},
		{"no-usable-key", func(c *IssuerConfig) { c.KeySet = []byte(`{"keys":[]}`) }, "no usable key"},
		{"not-a-set", func(c *IssuerConfig) { c.KeySet = []byte(`{}`) }, "JWK set"},
	} {
		config := good
		row.change(&config)
		_, err := NewVerifier([]IssuerConfig{config}, VerifierOptions{})
		if row.want == "" {
			assert.NoError(t, err, row.name)
		} else {
			assert.ErrorContains(t, err, row.want, row.name)
		}
	}
	_, err := NewVerifier([]IssuerConfig{good, good}, VerifierOptions{})
	assert.ErrorContains(t, err, "twice")
}

// Source: RFC 8725, section 3.10: addresses and keys in a header play no part.
func TestHeaderAddressesAreNeverCalled(t *testing.T) {
	var calls atomic.Int32
	trap := httptest.NewServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { calls.Add(1) }))
	defer trap.Close()
	m := newMinter(t, "https://courses.example", someKey(t))
	own, err := GenerateSigningKey(2048)
	require.NoError(t, err)
	for _, name := range []string{"jku", "x5u"} {
		unsigned := jwt.NewWithClaims(jwt.SigningMethodRS256, jwt.MapClaims(m.claims(nil)))
		unsigned.Header["kid"], unsigned.Header[name] = m.key.ID(), trap.URL
		token, err := unsigned.SignedString(own.private)
		require.NoError(t, err)
		_, refusal := m.verifier(t, m.now).Verify(context.Background(), token)
		require.NotNil(t, refusal)
		assert.Equal(t, RefusedSignature, refusal.Code)
	}
	assert.Zero(t, calls.Load())
}
