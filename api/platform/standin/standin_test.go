package standin_test

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api/platform"
	"squaremark/api/platform/standin"
)

var oneKey = sync.OnceValues(func() (*platform.SigningKey, error) { return platform.GenerateSigningKey(2048) })

func vectors(t *testing.T, name string, into any) {
	t.Helper()
	text, err := os.ReadFile("../testdata/vectors/" + name)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, into))
}

// bench is a stand-in and the tool's side of the agreement, spoken by hand.
type bench struct {
	*standin.Platform
	key *platform.SigningKey
}

func start(t *testing.T, config standin.Config) bench {
	t.Helper()
	key, err := oneKey()
	require.NoError(t, err)
	set, err := platform.NewKeySet(key)
	require.NoError(t, err)
	if config.ToolKeySetURL == "" {
		config.ToolKeySet, err = set.PublicJWKS()
		require.NoError(t, err)
	}
	config.Key = key
	p, err := standin.Start(config)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, p.Close()) })
	return bench{p, key}
}

func (b bench) form(assertion string) url.Values {
	return url.Values{
		"grant_type":            {"client_credentials"},
		"client_assertion_type": {"urn:ietf:params:oauth:client-assertion-type:jwt-bearer"},
		"client_assertion":      {assertion},
		"scope":                 {platform.ScoreScope},
	}
}

func (b bench) send(t *testing.T, method, path, mediaType, token string, body string) (int, []byte) {
	t.Helper()
	request, err := http.NewRequest(method, b.URL()+path, strings.NewReader(body))
	require.NoError(t, err)
	request.Header.Set("Content-Type", mediaType)
	if token != "" {
		request.Header.Set("Authorization", "Bearer "+token)
	}
	answer, err := platform.NewHTTPClient(platform.HTTPOptions{AllowLoopback: true}).Do(request)
	require.NoError(t, err)
	text, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	require.NoError(t, answer.Body.Close())
	return answer.StatusCode, text
}

const formType = "application/x-www-form-urlencoded"

func (b bench) ask(t *testing.T, form url.Values) (int, []byte) {
	return b.send(t, "POST", "/token", formType, "", form.Encode())
}

// token gets an access token for the scopes over a fresh assertion.
func (b bench) token(t *testing.T, now time.Time, scope string) string {
	t.Helper()
	assertion, err := b.key.Sign("JWT", map[string]any{
		"iss": "client-circle", "sub": "client-circle", "aud": b.URL() + "/token",
		"iat": now.Unix(), "exp": now.Unix() + 300, "jti": fmt.Sprint(time.Now().UnixNano()),
	})
	require.NoError(t, err)
	form := b.form(assertion)
	form.Set("scope", scope)
	status, body := b.ask(t, form)
	require.Equal(t, 200, status, "%s", body)
	var granted struct {
		Token string `json:"access_token"`
	}
	require.NoError(t, json.Unmarshal(body, &granted))
	return granted.Token
}

// Source of the cases: 1EdTech Security Framework 1.0, section 4.1.1; LTI Core 1.3, section 6.2; RFC 7523, section 3.
func TestAssertionVectors(t *testing.T) {
	type assertionCase struct {
		ID     string
		Claims map[string]any
	}
	var file struct {
		Context struct {
			Now      int64  `json:"now_unix"`
			Client   string `json:"client_id"`
			Audience string `json:"token_audience"`
		}
		Assertions struct{ Accept, Reject []assertionCase } `json:"client_assertion"`
	}
	vectors(t, "lti-claims.json", &file)
	require.Len(t, file.Assertions.Accept, 3)
	require.Len(t, file.Assertions.Reject, 9)
	try := func(t *testing.T, deployment string, c assertionCase) int {
		b := start(t, standin.Config{
			ClientID: file.Context.Client, TokenAudience: file.Context.Audience, DeploymentID: deployment,
			Clock: func() time.Time { return time.Unix(file.Context.Now, 0) },
		})
		assertion, err := b.key.Sign("JWT", c.Claims)
		require.NoError(t, err)
		status, body := b.ask(t, b.form(assertion))
		if status != 200 {
			assert.JSONEq(t, `{"error":"invalid_client"}`, string(body))
			return status
		}
		again, _ := b.ask(t, b.form(assertion))
		assert.Equal(t, 400, again, "the same assertion a second time")
		return status
	}
	for _, c := range file.Assertions.Accept {
		t.Run(c.ID, func(t *testing.T) { assert.Equal(t, 200, try(t, "", c)) })
	}
	for _, c := range file.Assertions.Reject {
		t.Run(c.ID, func(t *testing.T) { assert.Equal(t, 400, try(t, "", c)) })
	}
	withDeployment := file.Assertions.Accept[2]
	assert.Equal(t, 200, try(t, "dep-3", withDeployment))
	assert.Equal(t, 400, try(t, "dep-4", withDeployment))
	assert.Equal(t, 400, try(t, "dep-3", file.Assertions.Accept[0]))
}

func TestTokenRequestsThatBreakARule(t *testing.T) {
	b := start(t, standin.Config{})
	now := time.Now()
	assertion := func(key *platform.SigningKey) string {
		text, err := key.Sign("JWT", map[string]any{
			"iss": "client-circle", "sub": "client-circle", "aud": b.URL() + "/token",
			"iat": now.Unix(), "exp": now.Unix() + 300, "jti": fmt.Sprint(time.Now().UnixNano()),
		})
		require.NoError(t, err)
		return text
	}
	stranger, err := platform.GenerateSigningKey(2048)
	require.NoError(t, err)
	for name, row := range map[string]struct {
		change func(url.Values)
		want   string
	}{
		"grant-type":     {func(f url.Values) { f.Set("grant_type", "password") }, "unsupported_grant_type"},
		"assertion-type": {func(f url.Values) { f.Set("client_assertion_type", "other") }, "invalid_client"},
		"two-assertions": {func(f url.Values) { f.Add("client_assertion", "x") }, "invalid_request"},
		"no-scope":       {func(f url.Values) { f.Del("scope") }, "invalid_request"},
		"other-scope":    {func(f url.Values) { f.Set("scope", "other") }, "invalid_scope"},
		"extra-field":    {func(f url.Values) { f.Set("client_id", "client-circle") }, "invalid_request"},
		"stranger":       {func(f url.Values) { f.Set("client_assertion", assertion(stranger)) }, "invalid_client"},
	} {
		form := b.form(assertion(b.key))
		row.change(form)
		status, body := b.ask(t, form)
		assert.Equal(t, 400, status, name)
		assert.JSONEq(t, `{"error":"`+row.want+`"}`, string(body), name)
	}
	status, _ := b.send(t, "POST", "/token", "application/json", "", "{}")
	assert.Equal(t, 415, status)
	status, _ = b.send(t, "POST", "/token", formType, "basic-like", b.form(assertion(b.key)).Encode())
	assert.Equal(t, 400, status)
	status, _ = b.send(t, "POST", "/token?x=1", formType, "", b.form(assertion(b.key)).Encode())
	assert.Equal(t, 400, status)
	status, _ = b.send(t, "GET", "/token", formType, "", "")
	assert.Equal(t, 405, status)
}

// The tool's keys may also come from the address where the tool serves them.
func TestToolKeysFromTheirAddress(t *testing.T) {
	key, err := oneKey()
	require.NoError(t, err)
	set, err := platform.NewKeySet(key)
	require.NoError(t, err)
	text, err := set.PublicJWKS()
	require.NoError(t, err)
	var calls atomic.Int32
	tool := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		calls.Add(1)
		_, err := w.Write(text)
		assert.NoError(t, err)
	}))
	defer tool.Close()
	b := start(t, standin.Config{ToolKeySetURL: tool.URL + "/keys"})
	b.token(t, time.Now(), platform.ScoreScope)
	b.token(t, time.Now(), platform.ScoreScope)
	assert.Equal(t, int32(1), calls.Load())

	none, err := standin.Start(standin.Config{Key: key})
	require.NoError(t, err)
	defer func() { assert.NoError(t, none.Close()) }()
	tokens := platform.NewTokens(platform.TokensOptions{})
	_, err = tokens.Token(context.Background(), none.Registration(set), platform.ScoreScope)
	assert.ErrorContains(t, err, "assertion")
	_, err = standin.Start(standin.Config{Key: key, ToolKeySetURL: "ftp://circle.example/"})
	assert.Error(t, err)
}

func TestMintedTokens(t *testing.T) {
	b := start(t, standin.Config{Issuer: "https://courses.example", ToolAudience: "squaremark-test"})
	config := b.IssuerConfig()
	assert.Equal(t, "https://courses.example", config.Issuer)
	v, err := platform.NewVerifier([]platform.IssuerConfig{config}, platform.VerifierOptions{})
	require.NoError(t, err)
	for name, row := range map[string]struct {
		claims map[string]any
		want   platform.RefusalCode
	}{
		"good":       {map[string]any{"sub": "p-07c2"}, ""},
		"no-subject": {nil, platform.RefusedSubject},
		"no-expiry":  {map[string]any{"sub": "p-07c2", "exp": nil}, platform.RefusedClaims},
		"elsewhere":  {map[string]any{"sub": "p-07c2", "aud": "other"}, platform.RefusedAudience},
	} {
		token, err := b.MintSubmissionToken(row.claims)
		require.NoError(t, err)
		_, refusal := v.Verify(context.Background(), token)
		if row.want == "" {
			assert.Nil(t, refusal, name)
		} else if assert.NotNil(t, refusal, name) {
			assert.Equal(t, row.want, refusal.Code, name)
		}
	}
}

func TestStartOnATakenPort(t *testing.T) {
	b := start(t, standin.Config{})
	u, err := url.Parse(b.URL())
	require.NoError(t, err)
	var port int
	_, err = fmt.Sscan(u.Port(), &port)
	require.NoError(t, err)
	_, err = standin.Start(standin.Config{Key: b.key, Port: port})
	assert.Error(t, err)
	assert.NoError(t, b.Close())
	assert.NoError(t, b.Close(), "closing twice is harmless")
}
