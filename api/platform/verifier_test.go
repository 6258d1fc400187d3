package platform

import (
	"context"
	"crypto/ecdsa"
	"crypto/ed25519"
	"crypto/elliptic"
	"crypto/rand"
	"encoding/base64"
	"encoding/json"
	"maps"
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

type tokenVectors struct {
	Policy struct {
		Now         int64    `json:"now_unix"`
		Leeway      int      `json:"leeway_seconds"`
		MaxAge      int      `json:"max_age_seconds"`
		MaxLifetime int      `json:"max_lifetime_seconds"`
		Algorithms  []string `json:"allowed_algorithms"`
		Issuer      string
		Audience    string
		JWKS        json.RawMessage
	}
	Vectors []struct {
		ID, Token string
		Accept    bool
	}
}

func (v tokenVectors) config() IssuerConfig {
	seconds := func(n int) time.Duration { return time.Duration(n) * time.Second }
	return IssuerConfig{
		Issuer: v.Policy.Issuer, Audience: v.Policy.Audience, KeySet: v.Policy.JWKS, Algorithms: v.Policy.Algorithms,
		Leeway: seconds(v.Policy.Leeway), MaxAge: seconds(v.Policy.MaxAge), MaxLifetime: seconds(v.Policy.MaxLifetime),
	}
}

func (v tokenVectors) clock() Clock { return func() time.Time { return time.Unix(v.Policy.Now, 0) } }

// Own constructions for RFC 7515, 7519 and 8725; each names its rule in the file. The code is ours.
func TestTokenVectors(t *testing.T) {
	var file tokenVectors
	vectors(t, "jwt-accept-reject.json", &file)
	require.Len(t, file.Vectors, 39)
	codes := map[string]RefusalCode{
		"alg-none": RefusedAlgorithm, "alg-none-mixed-case": RefusedAlgorithm, "alg-confusion-pem": RefusedAlgorithm,
		"alg-confusion-der": RefusedAlgorithm, "alg-not-listed-ps256": RefusedAlgorithm, "kid-missing": RefusedKey,
		"kid-unknown": RefusedKey, "kid-path-like": RefusedKey, "kid-not-a-string": RefusedForm,
		"embedded-jwk": RefusedSignature, "jku-header": RefusedKey, "crit-unknown": RefusedCritical,
		"crit-empty": RefusedCritical, "typ-other-kind": RefusedType, "tampered-payload": RefusedSignature,
		"wrong-issuer": RefusedIssuer, "issuer-trailing-slash": RefusedIssuer, "wrong-audience": RefusedAudience,
		"audience-substring": RefusedAudience, "audience-missing": RefusedAudience, "issuer-missing": RefusedIssuer,
		"expired": RefusedExpired, "expiry-missing": RefusedClaims, "expiry-as-string": RefusedClaims,
		"not-before-future": RefusedEarly, "issued-in-future": RefusedEarly, "issued-long-ago": RefusedAge,
		"lifetime-too-long": RefusedLifetime, "duplicate-claim": RefusedForm, "not-an-object": RefusedForm,
		"payload-not-utf8": RefusedForm, "padding-in-segment": RefusedForm, "four-segments": RefusedForm,
		"json-serialisation": RefusedForm, "empty": RefusedForm,
	}
	verifier, err := NewVerifier([]IssuerConfig{file.config()}, VerifierOptions{Clock: file.clock()})
	require.NoError(t, err)
	for _, v := range file.Vectors {
		t.Run(v.ID, func(t *testing.T) {
			caller, refusal := verifier.Verify(context.Background(), v.Token)
			if v.Accept {
				require.Nil(t, refusal)
				assert.Equal(t, "learner-4821", caller.Subject)
				assert.Equal(t, file.Policy.Issuer, caller.Issuer)
				assert.Equal(t, "j-0001", caller.TokenID)
				assert.Contains(t, caller.Audience, "grading-service")
				return
			}
			require.NotNil(t, refusal)
			assert.Nil(t, caller)
			assert.Equal(t, codes[v.ID], refusal.Code)
			assert.False(t, refusal.Temporary())
			assertShowsNothing(t, refusal, v.Token)
		})
	}
}

// assertShowsNothing demands that no longer piece of a token is in the text of its refusal.
func assertShowsNothing(t *testing.T, refusal *Refusal, token string) {
	t.Helper()
	assert.Equal(t, refuse(refusal.Code), refusal, "the text depends on the code alone")
	assert.NotEmpty(t, refusal.Error())
	for at := 0; at+12 <= len(token); at += 6 {
		assert.NotContains(t, refusal.Text, token[at:at+12])
	}
}

func TestEveryRefusalCodeHasItsOwnSentence(t *testing.T) {
	texts := map[string]bool{}
	for _, code := range RefusalCodes() {
		text := refuse(code).Text
		assert.NotEmpty(t, text, code)
		texts[text] = true
	}
	assert.Len(t, texts, len(RefusalCodes()))
}

// minter makes tokens of one issuer with a pinned key.
type minter struct {
	key    *SigningKey
	now    time.Time
	config IssuerConfig
}

func newMinter(t testing.TB, issuer string, key *SigningKey) minter {
	t.Helper()
	set, err := NewKeySet(key)
	require.NoError(t, err)
	text, err := set.PublicJWKS()
	require.NoError(t, err)
	return minter{key: key, now: time.Unix(1936517213, 0), config: IssuerConfig{Issuer: issuer, Audience: "squaremark", KeySet: text}}
}

func (m minter) claims(changes map[string]any) map[string]any {
	claims := map[string]any{"iss": m.config.Issuer, "aud": "squaremark", "sub": "p-07c2", "iat": m.now.Unix(), "exp": m.now.Unix() + 300}
	maps.Copy(claims, changes)
	maps.DeleteFunc(claims, func(_ string, value any) bool { return value == nil })
	return claims
}

func (m minter) token(t testing.TB, changes map[string]any) string {
	t.Helper()
	token, err := m.key.Sign("JWT", m.claims(changes))
	require.NoError(t, err)
	return token
}

func (m minter) verifier(t testing.TB, at time.Time) *Verifier {
	t.Helper()
	v, err := NewVerifier([]IssuerConfig{m.config}, VerifierOptions{Clock: func() time.Time { return at }})
	require.NoError(t, err)
	return v
}

func TestClaimRules(t *testing.T) {
	m := newMinter(t, "https://courses.example", someKey(t))
	verifier := m.verifier(t, m.now)
	now := m.now.Unix()
	manyAudiences := make([]string, 1500)
	for _, row := range []struct {
		name    string
		changes map[string]any
		want    RefusalCode // "" for accepted
	}{
		{"plain", nil, ""},
		{"fractional-times", map[string]any{"iat": float64(now) + 0.25, "exp": float64(now) + 200.75}, ""},
		{"scopes", map[string]any{"scope": "grade regrade"}, ""},
		{"scope-list", map[string]any{"scope": []string{"grade"}}, RefusedClaims},
		{"jti-number", map[string]any{"jti": 7}, RefusedClaims},
		{"subject-missing", map[string]any{"sub": nil}, RefusedSubject},
		{"subject-blank", map[string]any{"sub": "  "}, RefusedSubject},
		{"subject-long", map[string]any{"sub": strings.Repeat("s", 256)}, RefusedSubject},
		{"subject-longest", map[string]any{"sub": strings.Repeat("s", 255)}, ""},
		{"subject-number", map[string]any{"sub": 7}, RefusedSubject},
		{"subject-not-ascii", map[string]any{"sub": "pü"}, RefusedSubject},
		{"subject-control", map[string]any{"sub": "p\n07"}, RefusedSubject},
		{"audience-number", map[string]any{"aud": 7}, RefusedAudience},
		{"audience-mixed", map[string]any{"aud": []any{"squaremark", 7}}, RefusedAudience},
		{"audience-empty", map[string]any{"aud": []string{}}, RefusedAudience},
		{"audience-other-case", map[string]any{"aud": "Squaremark"}, RefusedAudience},
		{"audiences-many", map[string]any{"aud": manyAudiences}, RefusedAudience},
		{"issued-missing", map[string]any{"iat": nil}, RefusedClaims},
		{"issued-text", map[string]any{"iat": "1936517213"}, RefusedClaims},
		{"issued-null", map[string]any{"iat": json.RawMessage("null")}, RefusedClaims},
		{"expiry-null", map[string]any{"exp": json.RawMessage("null")}, RefusedClaims},
		{"expiry-huge", map[string]any{"exp": json.RawMessage("1e300")}, RefusedClaims},
		{"expiry-far", map[string]any{"exp": 999999999999}, RefusedClaims},
		{"not-before-text", map[string]any{"nbf": "1"}, RefusedClaims},
		{"not-before-now", map[string]any{"nbf": now}, ""},
		{"not-before-leeway", map[string]any{"nbf": now + 60}, ""},
		{"not-before-beyond", map[string]any{"nbf": now + 61}, RefusedEarly},
		{"issued-leeway", map[string]any{"iat": now + 60}, ""},
		{"issued-beyond", map[string]any{"iat": now + 61}, RefusedEarly},
		{"age-limit", map[string]any{"iat": now - 3600, "exp": now}, ""},
		{"lifetime-limit", map[string]any{"exp": now + 3600}, ""},
		{"lifetime-beyond", map[string]any{"exp": now + 3601}, RefusedLifetime},
		{"expired-edge", map[string]any{"exp": now - 59}, ""},
		{"expired-at-leeway", map[string]any{"exp": now - 60}, RefusedExpired},
	} {
		t.Run(row.name, func(t *testing.T) {
			token := m.token(t, row.changes)
			caller, refusal := verifier.Verify(context.Background(), token)
			if row.want == "" {
				require.Nil(t, refusal)
				assert.True(t, row.name != "scopes" || caller.HasScope("regrade") && !caller.HasScope("re"))
				return
			}
			require.NotNil(t, refusal)
			assert.Equal(t, row.want, refusal.Code)
			assertShowsNothing(t, refusal, token)
		})
	}
}

func TestAgeBoundary(t *testing.T) {
	m := newMinter(t, "https://courses.example", someKey(t))
	m.config.MaxLifetime, m.config.MaxAge = 10*time.Hour, time.Hour
	token := m.token(t, map[string]any{"exp": m.now.Unix() + 8*3600})
	for age, want := range map[time.Duration]bool{time.Hour: true, time.Hour + time.Minute: true, time.Hour + 61*time.Second: false} {
		_, refusal := m.verifier(t, m.now.Add(age)).Verify(context.Background(), token)
		assert.Equal(t, want, refusal == nil, "%v", age)
		assert.True(t, want || refusal.Code == RefusedAge)
	}
}

func TestCallerCarriesFurtherClaims(t *testing.T) {
	m := newMinter(t, "https://courses.example", someKey(t))
	caller, refusal := m.verifier(t, m.now).Verify(context.Background(), m.token(t, map[string]any{"quiz": "plots-3", "n": 7}))
	require.Nil(t, refusal)
	assert.Equal(t, "plots-3", caller.Text("quiz"))
	assert.Equal(t, "", caller.Text("n"))
	assert.Equal(t, "", caller.Text("none"))
	assert.Equal(t, json.RawMessage("7"), caller.Claims["n"])
	assert.Equal(t, m.key.ID(), caller.KeyID)
	assert.True(t, caller.IssuedAt.Equal(m.now) && caller.ExpiresAt.Equal(m.now.Add(300*time.Second)))
}

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

func TestForms(t *testing.T) {
	m := newMinter(t, "https://courses.example", someKey(t))
	verifier := m.verifier(t, m.now)
	good := m.token(t, nil)
	at := strings.IndexByte(good, '.')
	encode := base64.RawURLEncoding.EncodeToString
	deep := encode([]byte(`{"alg":"RS256","kid":"k","x":` + strings.Repeat("[", 3000) + strings.Repeat("]", 3000) + `}`))
	for _, row := range []struct {
		name, token string
		want        RefusalCode
	}{
		{"too-long", good + strings.Repeat("A", MaxBearer), RefusedSize},
		{"two-segments", good[:at], RefusedForm},
		{"space-in-front", " " + good, RefusedForm},
		{"line-break-inside", good[:at] + "\n" + good[at:], RefusedForm},
		{"standard-alphabet", strings.Replace(good, "e", "+", 1), RefusedForm},
		{"deep-header", deep + good[at:], RefusedForm},
		{"no-algorithm", encode([]byte(`{"kid":"k"}`)) + good[at:], RefusedForm},
		{"algorithm-number", encode([]byte(`{"alg":256}`)) + good[at:], RefusedForm},
		{"algorithm-twice", encode([]byte(`{"alg":"RS256","alg":"none"}`)) + good[at:], RefusedForm},
		{"algorithm-twice-escaped", encode([]byte(`{"alg":"RS256","\u0061lg":"none"}`)) + good[at:], RefusedForm},
		{"algorithm-other-name", encode([]byte(`{"ALG":"RS256"}`)) + good[at:], RefusedForm},
		{"key-id-long", encode([]byte(`{"alg":"RS256","kid":"`+strings.Repeat("k", 257)+`"}`)) + good[at:], RefusedForm},
		{"critical-null", encode([]byte(`{"alg":"RS256","kid":"k","crit":null}`)) + good[at:], RefusedCritical},
		{"trailing-bits", good[:len(good)-1] + "B", RefusedForm},
	} {
		_, refusal := verifier.Verify(context.Background(), row.token)
		if assert.NotNil(t, refusal, row.name) {
			assert.Equal(t, row.want, refusal.Code, row.name)
		}
	}
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

func FuzzVerify(f *testing.F) {
	var file tokenVectors
	vectors(f, "jwt-accept-reject.json", &file)
	accepted := map[string]bool{}
	for _, v := range file.Vectors {
		f.Add(v.Token)
		accepted[v.Token] = v.Accept
	}
	verifier, err := NewVerifier([]IssuerConfig{file.config()}, VerifierOptions{Clock: file.clock()})
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, token string) {
		caller, refusal := verifier.Verify(context.Background(), token)
		assert.Equal(t, accepted[token], refusal == nil, "only the known good tokens are good")
		assert.Equal(t, refusal == nil, caller != nil)
	})
}
