package api_test

import (
	"math/big"
	"net/http"
	"net/url"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api"
	"squaremark/api/platform"
	"squaremark/api/platform/standin"
)

// While one platform is down, its submissions are marked and come back with result and receipt, readiness stays, and
// another platform notices nothing. When it is up again under the same address, the receipt is delivered.
func TestAPlatformThatIsDown(t *testing.T) {
	key, err := platformKey()
	require.NoError(t, err)
	keys, err := serviceKeys()
	require.NoError(t, err)
	public, err := keys.PublicJWKS()
	require.NoError(t, err)
	start := func(port int) *standin.Platform {
		p, err := standin.Start(standin.Config{Key: key, Port: port, Issuer: "https://second.example", ToolKeySet: public})
		require.NoError(t, err)
		return p
	}
	second := start(0)
	item := second.AddLineItem(standin.LineItem{ID: "plots", Label: "Plots", Maximum: big.NewRat(7, 1)})
	c := newCircle(t, func(c *api.Config) {
		both, err := platform.NewVerifier([]platform.IssuerConfig{
			{Issuer: c.Platforms[0].Registration.Issuer, Audience: "squaremark", KeySetURL: c.Platforms[0].Registration.Issuer + "/jwks", AllowPlainHTTP: true, AllowLoopback: true},
			second.IssuerConfig(),
		}, platform.VerifierOptions{})
		require.NoError(t, err)
		c.Verifier = both
		c.Platforms = append(c.Platforms, api.Platform{Registration: second.Registration(keys)})
	})
	submit := func() call {
		token, err := second.MintSubmissionToken(map[string]any{"sub": "second-courses", "scope": "submit"})
		require.NoError(t, err)
		return changed(map[string]any{"target": map[string]any{"lineItem": item}})(c).with("Authorization", "Bearer "+token)
	}
	require.Equal(t, http.StatusOK, c.do(submit()).status)
	require.NoError(t, second.Close())
	down := c.do(submit())
	assert.Equal(t, "delivery-unanswered", down.problem(t))
	assert.NotEmpty(t, down.json(t)["result"])
	assert.Equal(t, http.StatusOK, c.do(c.get("/readyz")).status)
	assert.Equal(t, http.StatusOK, c.do(good(c)).status, "the other platform")

	address, err := url.Parse(second.URL())
	require.NoError(t, err)
	port, err := strconv.Atoi(address.Port())
	require.NoError(t, err)
	second = start(port)
	t.Cleanup(func() { require.NoError(t, second.Close()) })
	second.AddLineItem(standin.LineItem{ID: "plots", Label: "Plots", Maximum: big.NewRat(7, 1)})
	token, err := second.MintSubmissionToken(map[string]any{"sub": "second-courses", "scope": "submit"})
	require.NoError(t, err)
	answer := c.do(c.redemption(down.json(t)["receipt"].(string)).with("Authorization", "Bearer "+token))
	require.Equal(t, http.StatusOK, answer.status, "%s", answer.body)
	assert.Equal(t, "p-07c2", second.Gradebook()[0].UserID)
}
