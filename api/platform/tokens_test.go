package platform_test

import (
	"context"
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/golang-jwt/jwt/v5"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api/platform"
	"squaremark/api/platform/standin"
)

// movable is a clock that tests push forward.
type movable struct{ ahead atomic.Int64 }

func (m *movable) now() time.Time          { return time.Now().Add(time.Duration(m.ahead.Load())) }
func (m *movable) forward(d time.Duration) { m.ahead.Add(int64(d)) }

// Source: 1EdTech Security Framework 1.0, section 4.1.1.
func TestTokenRequestForm(t *testing.T) {
	var file struct {
		Form struct {
			Fields      map[string]string
			ContentType string `json:"content_type"`
		} `json:"token_request_form"`
	}
	text, err := os.ReadFile("testdata/vectors/lti-claims.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &file))
	c := open(t, standin.Config{DeploymentID: "dep-3", TokenAudience: "urn:circle:grants"}, platform.ClientOptions{})
	assert.Equal(t, platform.Delivered, c.post(t, c.mark("p-07c2", 5, 9)).State)
	request := c.Seen(standin.TokenEndpoint)[0]
	assert.Equal(t, "POST", request.Method)
	assert.Equal(t, "/token", request.Target)
	assert.Equal(t, file.Form.ContentType, request.Header.Get("Content-Type"))
	form, err := url.ParseQuery(string(request.Body))
	require.NoError(t, err)
	assert.Len(t, form, len(file.Form.Fields))
	for name, value := range file.Form.Fields {
		require.Len(t, form[name], 1)
		if name != "client_assertion" {
			assert.Equal(t, value, form.Get(name))
		}
	}
	signed, _, err := jwt.NewParser(jwt.WithJSONNumber()).ParseUnverified(form.Get("client_assertion"), jwt.MapClaims{})
	require.NoError(t, err)
	assert.Equal(t, "RS256", signed.Header["alg"])
	assert.Equal(t, keys(t).Current().ID(), signed.Header["kid"])
	claims := signed.Claims.(jwt.MapClaims)
	assert.Equal(t, "client-circle", claims["iss"])
	assert.Equal(t, "client-circle", claims["sub"])
	assert.Equal(t, "urn:circle:grants", claims["aud"], "set apart from the token URL")
	assert.Equal(t, "dep-3", claims[platform.DeploymentClaim])
	issued, err := claims["iat"].(json.Number).Int64()
	require.NoError(t, err)
	expires, err := claims["exp"].(json.Number).Int64()
	require.NoError(t, err)
	assert.Equal(t, int64(300), expires-issued)
	assert.Len(t, claims, 7)
}

func TestAssertionsNeverRepeatTheirIdentifier(t *testing.T) {
	c := open(t, standin.Config{TokenLife: time.Nanosecond}, platform.ClientOptions{})
	tokens := platform.NewTokens(platform.TokensOptions{})
	seen := map[string]bool{}
	for range 100 {
		_, err := tokens.Token(context.Background(), c.registration, platform.ScoreScope)
		require.NoError(t, err)
	}
	for _, request := range c.Seen(standin.TokenEndpoint) {
		form, err := url.ParseQuery(string(request.Body))
		require.NoError(t, err)
		signed, _, err := jwt.NewParser().ParseUnverified(form.Get("client_assertion"), jwt.MapClaims{})
		require.NoError(t, err)
		id := signed.Claims.(jwt.MapClaims)["jti"].(string)
		assert.False(t, seen[id])
		assert.Len(t, id, 26)
		seen[id] = true
	}
	assert.Len(t, seen, 100)
}

func TestTokensAreKeptForNineTenthsOfTheirLife(t *testing.T) {
	var clock movable
	c := open(t, standin.Config{TokenLife: time.Hour, Clock: clock.now}, platform.ClientOptions{Clock: clock.now})
	for range 20 {
		assert.Equal(t, platform.Delivered, c.post(t, c.mark("p-07c2", 5, 9)).State)
	}
	assert.Len(t, c.Seen(standin.TokenEndpoint), 1)
	clock.forward(53 * time.Minute)
	assert.Equal(t, platform.Delivered, c.post(t, c.mark("p-07c2", 5, 9)).State)
	assert.Len(t, c.Seen(standin.TokenEndpoint), 1)
	clock.forward(2 * time.Minute)
	assert.Equal(t, platform.Delivered, c.post(t, c.mark("p-07c2", 5, 9)).State)
	assert.Len(t, c.Seen(standin.TokenEndpoint), 2)
}

// Source: RFC 6750, section 3.1; the one repeat is our choice.
func TestRefusedTokensAreReplacedOnce(t *testing.T) {
	c := open(t, standin.Config{}, platform.ClientOptions{})
	assert.Equal(t, platform.Delivered, c.post(t, c.mark("p-07c2", 5, 9)).State)
	c.RevokeTokens()
	outcome := c.post(t, c.mark("p-07c2", 6, 9))
	assert.Equal(t, platform.Delivered, outcome.State)
	assert.Equal(t, 2, outcome.Attempts)
	assert.Len(t, c.Seen(standin.TokenEndpoint), 2)
	seen := c.Seen(standin.ScoresEndpoint)
	assert.Equal(t, string(seen[1].Body), string(seen[2].Body))

	c.Fail(standin.ScoresEndpoint, standin.Fault{Status: 401}, standin.Fault{Status: 401}, standin.Fault{Status: 401})
	outcome = c.post(t, c.mark("p-07c2", 7, 9))
	assert.Equal(t, platform.Refused, outcome.State)
	assert.Equal(t, 401, outcome.Status)
	assert.Equal(t, 2, outcome.Attempts)
	assert.Len(t, c.Seen(standin.TokenEndpoint), 3)
}

// One call replaces the token once, also when other trouble lies between.
func TestOneCallReplacesTheTokenOnce(t *testing.T) {
	c := open(t, standin.Config{}, platform.ClientOptions{})
	c.Fail(standin.ScoresEndpoint, standin.Fault{Status: 401}, standin.Fault{Status: 503}, standin.Fault{Status: 401})
	outcome := c.post(t, c.mark("p-07c2", 5, 9))
	assert.Equal(t, platform.Refused, outcome.State)
	assert.Equal(t, 401, outcome.Status)
	assert.Equal(t, 3, outcome.Attempts)
	assert.Len(t, c.Seen(standin.TokenEndpoint), 2)
}

// The call for a token serves everyone who waits for it, whatever becomes of the one who came first.
func TestTokenCallOutlivesItsFirstCaller(t *testing.T) {
	c := open(t, standin.Config{}, platform.ClientOptions{})
	c.Fail(standin.TokenEndpoint, standin.Fault{Delay: 300 * time.Millisecond})
	tokens := platform.NewTokens(platform.TokensOptions{})
	impatient, cancel := context.WithTimeout(context.Background(), 50*time.Millisecond)
	defer cancel()
	_, err := tokens.Token(impatient, c.registration, platform.ScoreScope)
	assert.ErrorIs(t, err, context.DeadlineExceeded)
	_, err = tokens.Token(context.Background(), c.registration, platform.ScoreScope)
	assert.NoError(t, err)
	assert.Len(t, c.Seen(standin.TokenEndpoint), 1)
}

func TestParallelRefusalsShareOneNewToken(t *testing.T) {
	c := open(t, standin.Config{}, platform.ClientOptions{})
	assert.Equal(t, platform.Delivered, c.post(t, c.mark("p-0000", 5, 9)).State)
	c.RevokeTokens()
	for range 20 {
		c.Fail(standin.ScoresEndpoint, standin.Fault{Delay: 50 * time.Millisecond})
	}
	var group sync.WaitGroup
	for i := range 20 {
		group.Go(func() {
			outcome, err := c.client.PostScore(context.Background(), c.registration, c.item, c.mark(fmt.Sprintf("p-%04d", i), 5, 9))
			assert.NoError(t, err)
			assert.Equal(t, platform.Delivered, outcome.State)
		})
	}
	group.Wait()
	assert.Len(t, c.Seen(standin.TokenEndpoint), 2)
}

func TestTenantsNeverShareTokens(t *testing.T) {
	one, two := open(t, standin.Config{}, platform.ClientOptions{}), open(t, standin.Config{}, platform.ClientOptions{})
	tokens := platform.NewTokens(platform.TokensOptions{})
	first, err := tokens.Token(context.Background(), one.registration, platform.ScoreScope)
	require.NoError(t, err)
	second, err := tokens.Token(context.Background(), two.registration, platform.ScoreScope)
	require.NoError(t, err)
	assert.NotEqual(t, first, second)
	otherDeployment := *one.registration
	otherDeployment.DeploymentID = "dep-9"
	third, err := tokens.Token(context.Background(), &otherDeployment, platform.ScoreScope)
	require.NoError(t, err)
	assert.NotEqual(t, first, third)
	again, err := tokens.Token(context.Background(), one.registration, platform.ScoreScope)
	require.NoError(t, err)
	assert.Equal(t, first, again)
	tokens.Drop(one.registration, "another token", platform.ScoreScope)
	again, err = tokens.Token(context.Background(), one.registration, platform.ScoreScope)
	require.NoError(t, err)
	assert.Equal(t, first, again, "only the token that was refused is dropped")
	tokens.Drop(one.registration, first, platform.ScoreScope)
	again, err = tokens.Token(context.Background(), one.registration, platform.ScoreScope)
	require.NoError(t, err)
	assert.NotEqual(t, first, again)
}

func TestWrongAgreementsArePermanent(t *testing.T) {
	for name, row := range map[string]struct {
		config standin.Config
		change func(*platform.Registration)
		reason string
	}{
		"client":     {standin.Config{}, func(r *platform.Registration) { r.ClientID = "client-other" }, "assertion"},
		"audience":   {standin.Config{}, func(r *platform.Registration) { r.TokenAudience = "elsewhere" }, "assertion"},
		"deployment": {standin.Config{DeploymentID: "dep-3"}, func(r *platform.Registration) { r.DeploymentID = "dep-4" }, "assertion"},
		"scope":      {standin.Config{GrantScopes: []string{"other"}}, func(*platform.Registration) {}, "scope"},
		"keys": {standin.Config{}, func(r *platform.Registration) {
			key, err := platform.GenerateSigningKey(2048)
			require.NoError(t, err)
			r.Keys, err = platform.NewKeySet(key)
			require.NoError(t, err)
		}, "assertion"},
	} {
		t.Run(name, func(t *testing.T) {
			c := open(t, row.config, platform.ClientOptions{})
			row.change(c.registration)
			outcome := c.post(t, c.mark("p-07c2", 5, 9))
			assert.Equal(t, platform.Refused, outcome.State)
			assert.Equal(t, 400, outcome.Status)
			assert.Contains(t, outcome.Reason, row.reason)
			assert.Zero(t, outcome.Attempts)
			assert.Len(t, c.Seen(standin.TokenEndpoint), 1)
		})
	}
}

func TestTokenTroubleIsRepeated(t *testing.T) {
	c := open(t, standin.Config{}, platform.ClientOptions{})
	c.Fail(standin.TokenEndpoint, standin.Fault{Status: 503}, standin.Fault{Reset: true})
	outcome := c.post(t, c.mark("p-07c2", 5, 9))
	assert.Equal(t, platform.Delivered, outcome.State)
	assert.Equal(t, 1, outcome.Attempts, "the score itself went out once")
	assert.Len(t, c.Seen(standin.TokenEndpoint), 3)
}

func TestRegistrations(t *testing.T) {
	good := platform.Registration{
		Issuer: "https://courses.example", ClientID: "client-circle", TokenURL: "https://courses.example/token",
		TokenAudience: "https://courses.example", LineItemOrigins: []string{"https://courses.example"}, Keys: keys(t),
	}
	for _, row := range []struct {
		name   string
		change func(*platform.Registration)
		want   string
	}{
		{"good", func(*platform.Registration) {}, ""},
		{"issuer", func(r *platform.Registration) { r.Issuer = "" }, "issuer"},
		{"client", func(r *platform.Registration) { r.ClientID = strings.Repeat("c", 256) }, "client id"},
		{"deployment", func(r *platform.Registration) { r.DeploymentID = "dép" }, "deployment"},
		{"audience", func(r *platform.Registration) { r.TokenAudience = "" }, "audience"},
		{"keys", func(r *platform.Registration) { r.Keys = nil }, "key set"},
		{"token-url", func(r *platform.Registration) { r.TokenURL = "http://courses.example/token" }, "https"},
		{"no-origin", func(r *platform.Registration) { r.LineItemOrigins = nil }, "origins"},
		{"origin-with-path", func(r *platform.Registration) { r.LineItemOrigins[0] = "https://courses.example/items" }, "origin 1"},
		{"origin-with-slash", func(r *platform.Registration) { r.LineItemOrigins[0] = "https://courses.example/" }, "origin 1"},
		{"origin-plain", func(r *platform.Registration) { r.LineItemOrigins[0] = "http://courses.example" }, "origin 1"},
	} {
		r := good
		r.LineItemOrigins = append([]string(nil), good.LineItemOrigins...)
		row.change(&r)
		err := r.Validate()
		if row.want == "" {
			assert.NoError(t, err, row.name)
		} else {
			assert.ErrorContains(t, err, row.want, row.name)
		}
	}
}
