package platform_test

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api/platform"
	"squaremark/api/platform/standin"
)

// Neither token nor signature goes to the target of a redirect.
func TestRedirectTargetsSeeNothing(t *testing.T) {
	c := open(t, standin.Config{}, platform.ClientOptions{})
	other := open(t, standin.Config{}, platform.ClientOptions{})
	for _, status := range []int{301, 302, 303, 307, 308} {
		elsewhere := map[string]string{"Location": other.URL() + "/items/plots-3/scores"}
		c.Fail(standin.ScoresEndpoint, standin.Fault{Status: status, Header: elsewhere})
		assert.Equal(t, platform.Refused, c.post(t, c.mark("p-07c2", 5, 9)).State)
	}
	c.RevokeTokens()
	c.Fail(standin.TokenEndpoint, standin.Fault{Status: 307, Header: map[string]string{"Location": other.URL() + "/token"}})
	outcome := c.post(t, c.mark("p-07c2", 5, 9))
	assert.Equal(t, platform.Refused, outcome.State)
	for _, endpoint := range []standin.Endpoint{standin.ScoresEndpoint, standin.TokenEndpoint, standin.KeysEndpoint, standin.HooksEndpoint} {
		assert.Empty(t, other.Seen(endpoint))
	}
}

// What the other side writes is neither returned nor logged; nor are tokens, assertions, user ids or comments.
func TestNothingLeaks(t *testing.T) {
	canary := "CANARY-7f3a"
	c := open(t, standin.Config{}, platform.ClientOptions{Limits: platform.Limits{Header: 300 * time.Millisecond}})
	header := map[string]string{"X-Note": canary, "Location": "https://" + canary + ".example/", "Retry-After": canary, "Www-Authenticate": canary}
	score := c.mark("p-07c2-"+canary, 5, 9)
	score.Comment = "comment " + canary
	var shown []string
	for _, status := range []int{200, 302, 400, 401, 403, 404, 409, 429, 500, 503} {
		for range 4 {
			c.Fail(standin.ScoresEndpoint, standin.Fault{Status: status, Header: header, Body: `{"error":"` + canary + `"}`})
		}
		score.Timestamp = c.stamps.Next()
		shown = append(shown, fmt.Sprintf("%+v", c.post(t, score)))
		c.Heal(standin.ScoresEndpoint)
	}
	c.RevokeTokens()
	for _, status := range []int{200, 302, 400, 401, 500} {
		d := open(t, standin.Config{}, platform.ClientOptions{})
		for range 4 {
			d.Fail(standin.TokenEndpoint, standin.Fault{Status: status, Header: header, Body: `{"error":"` + canary + `","access_token":7}`})
		}
		shown = append(shown, fmt.Sprintf("%+v", d.post(t, score)))
		shown = append(shown, fmt.Sprintf("%+v", d.log.All()))
	}
	_, err := c.client.PostScore(context.Background(), c.registration, "https://"+canary+".example/items/1", score)
	require.Error(t, err)
	shown = append(shown, err.Error(), fmt.Sprintf("%+v", c.log.All()))
	secrets := []string{canary, "CANARY"}
	for _, request := range c.Seen(standin.ScoresEndpoint) {
		secrets = append(secrets, strings.TrimPrefix(request.Header.Get("Authorization"), "Bearer "))
	}
	for _, text := range shown {
		for _, secret := range secrets {
			assert.NotContains(t, text, secret)
		}
	}
	assert.NotEmpty(t, c.log.FilterMessage("call to another service ended").All())
}

// Without the switch this machine is out of reach, also when a permitted call has opened a connection before.
func TestLoopbackNeedsItsSwitch(t *testing.T) {
	c := open(t, standin.Config{}, platform.ClientOptions{})
	assert.Equal(t, platform.Delivered, c.post(t, c.mark("p-07c2", 5, 9)).State)
	assert.Len(t, c.log.FilterMessageSnippet("relaxed").All(), 1, "the switch is loud")
	closed := *c.registration
	closed.AllowLoopback = false
	outcome, err := c.client.PostScore(context.Background(), &closed, c.item, c.mark("p-07c2", 6, 9))
	require.NoError(t, err)
	assert.Equal(t, platform.Refused, outcome.State)
	assert.Contains(t, outcome.Reason, "out of reach")
	assert.Len(t, c.Seen(standin.ScoresEndpoint), 1)
}

func TestHangingTargetsAreCutOff(t *testing.T) {
	limits := platform.Limits{Header: 100 * time.Millisecond, Total: 400 * time.Millisecond}
	c := open(t, standin.Config{}, platform.ClientOptions{Limits: limits, Retry: platform.RetryPolicy{Attempts: 1}})
	started := time.Now()
	c.Fail(standin.TokenEndpoint, standin.Fault{Delay: 3 * time.Second})
	outcome := c.post(t, c.mark("p-07c2", 5, 9))
	assert.Equal(t, platform.Retry, outcome.State)
	assert.Contains(t, outcome.Reason, "token endpoint did not answer in time")
	assert.Zero(t, outcome.Attempts)
	c.Fail(standin.TokenEndpoint, standin.Fault{Status: 200, Body: `{"access_token":`, Stall: 3 * time.Second})
	assert.Equal(t, platform.Retry, c.post(t, c.mark("p-07c2", 5, 9)).State)
	c.Fail(standin.ScoresEndpoint, standin.Fault{Delay: 3 * time.Second})
	outcome = c.post(t, c.mark("p-07c2", 5, 9))
	assert.Equal(t, platform.Retry, outcome.State)
	assert.Contains(t, outcome.Reason, "did not answer in time")
	// The verdict is in the status line; a body without an end changes nothing.
	c.Fail(standin.ScoresEndpoint, standin.Fault{Status: 200, Body: "{", Stall: 3 * time.Second})
	assert.Equal(t, platform.Delivered, c.post(t, c.mark("p-07c2", 5, 9)).State)
	assert.Less(t, time.Since(started), 3*time.Second)
}

func TestEndlessAnswersAreNotRead(t *testing.T) {
	c := open(t, standin.Config{}, platform.ClientOptions{})
	started := time.Now()
	c.Fail(standin.ScoresEndpoint, standin.Fault{Status: 200, Body: "{", Stall: 5 * time.Second})
	assert.Equal(t, platform.Delivered, c.post(t, c.mark("p-07c2", 5, 9)).State)
	assert.Less(t, time.Since(started), 3*time.Second, "a body that drips is given up long before the time limit of the call")
	c.RevokeTokens()
	c.client = platform.NewClient(platform.ClientOptions{Retry: quick()})
	huge := strings.Repeat("x", 50<<20)
	c.Fail(standin.TokenEndpoint, standin.Fault{Status: 200, Body: huge})
	outcome := c.post(t, c.mark("p-07c2", 5, 9))
	assert.Equal(t, platform.Refused, outcome.State)
	assert.Contains(t, outcome.Reason, "too long")
	c.Fail(standin.ScoresEndpoint, standin.Fault{Status: 200, Body: huge})
	assert.Equal(t, platform.Delivered, c.post(t, c.mark("p-07c2", 5, 9)).State)
}

func TestCancelledCallsEnd(t *testing.T) {
	c := open(t, standin.Config{}, platform.ClientOptions{})
	c.Fail(standin.ScoresEndpoint, standin.Fault{Delay: 3 * time.Second})
	ctx, cancel := context.WithTimeout(context.Background(), 100*time.Millisecond)
	defer cancel()
	started := time.Now()
	outcome, err := c.client.PostScore(ctx, c.registration, c.item, c.mark("p-07c2", 5, 9))
	require.NoError(t, err)
	assert.Equal(t, platform.Retry, outcome.State)
	assert.Less(t, time.Since(started), 2*time.Second)

	c.RevokeTokens()
	d := open(t, standin.Config{}, platform.ClientOptions{})
	d.Fail(standin.TokenEndpoint, standin.Fault{Delay: 300 * time.Millisecond})
	ctx, cancel = context.WithTimeout(context.Background(), 50*time.Millisecond)
	defer cancel()
	outcome, err = d.client.PostScore(ctx, d.registration, d.item, d.mark("p-07c2", 5, 9))
	require.NoError(t, err)
	assert.Equal(t, platform.Retry, outcome.State)
	assert.Zero(t, outcome.Attempts)
}

func TestNobodyThere(t *testing.T) {
	c := open(t, standin.Config{}, platform.ClientOptions{})
	assert.Equal(t, platform.Delivered, c.post(t, c.mark("p-07c2", 5, 9)).State)
	require.NoError(t, c.Close())
	outcome := c.post(t, c.mark("p-07c2", 6, 9))
	assert.Equal(t, platform.Retry, outcome.State)
	assert.Zero(t, outcome.Status)
	_, err := http.Get(c.URL())
	assert.Error(t, err)
}
