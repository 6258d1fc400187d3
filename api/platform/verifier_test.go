package platform

import (
	"context"
	"encoding/base64"
	"encoding/json"
	"maps"
	"strings"
	"testing"
	"time"

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
		{"deep-objects", encode([]byte(`{"alg":"RS256","kid":"k","x":`+strings.Repeat(`{"x":`, 20)+"1"+strings.Repeat("}", 20)+`}`)) + good[at:], RefusedForm},
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
