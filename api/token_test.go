package api_test

import (
	"encoding/json"
	"net/http"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api"
	"squaremark/api/platform"
)

// The vectors are own constructions after RFC 8725 and others, signed with the public test key of RFC 7515, appendix
// A.2. A token that is accepted has no scope, so the live server answers 403; a refused one gets 401.
func TestTokenVectorsAgainstTheLiveServer(t *testing.T) {
	raw, err := os.ReadFile("testdata/jwt-accept-reject.json")
	require.NoError(t, err)
	var file struct {
		Policy struct {
			Now      int64           `json:"now_unix"`
			Issuer   string          `json:"issuer"`
			Audience string          `json:"audience"`
			JWKS     json.RawMessage `json:"jwks"`
		} `json:"policy"`
		Vectors []struct {
			ID     string `json:"id"`
			Token  string `json:"token"`
			Accept bool   `json:"accept"`
			Why    string `json:"why"`
		} `json:"vectors"`
	}
	require.NoError(t, json.Unmarshal(raw, &file))
	require.Len(t, file.Vectors, 39)
	clock := func() time.Time { return time.Unix(file.Policy.Now, 0) }
	c := newCircle(t, func(c *api.Config) {
		c.Platforms[0].Registration.Issuer = file.Policy.Issuer
		c.Verifier, err = platform.NewVerifier([]platform.IssuerConfig{{
			Issuer: file.Policy.Issuer, Audience: file.Policy.Audience, KeySet: file.Policy.JWKS,
		}}, platform.VerifierOptions{Clock: clock})
		c.Clock = clock
	})
	require.NoError(t, err)
	for _, v := range file.Vectors {
		t.Run(v.ID, func(t *testing.T) {
			answer := c.do(good(c).with("Authorization", "Bearer "+v.Token))
			if v.Accept {
				assert.Equal(t, "scope-missing", answer.problem(t), v.Why)
				return
			}
			assert.Equal(t, http.StatusUnauthorized, answer.status, v.Why)
			assert.Equal(t, `Bearer realm="squaremark", error="invalid_token"`, answer.header.Get("WWW-Authenticate"))
			if v.Token != "" {
				assert.NotContains(t, string(answer.body), v.Token)
			}
		})
	}
	assert.Empty(t, c.platform.Gradebook())
	for _, v := range file.Vectors {
		if len(v.Token) > 40 {
			assert.NotContains(t, c.logs.String(), v.Token[20:40])
		}
	}
}

func TestTwoAuthorizationFieldsAreRefused(t *testing.T) {
	c := newCircle(t)
	k := good(c)
	k.header["Authorization"] = append(k.header["Authorization"], k.header["Authorization"][0])
	assert.Equal(t, 401, c.do(k).status)
}

// What a token is pinned to binds the submission. Line items lie on the platform's origin, webhooks are its own.
func TestPermission(t *testing.T) {
	pinned := newCircle(t, func(c *api.Config) { c.Platforms[0].PinnedOnly = true })
	c := newCircle(t)
	endpoint := func(members map[string]any) map[string]any { return map[string]any{api.EndpointClaim: members} }
	target := func(members map[string]any) map[string]any { return map[string]any{"target": members} }
	for _, row := range []struct {
		name    string
		circle  *circle
		claims  map[string]any
		changes map[string]any
		place   string // "" when permitted
	}{
		{"no pin", c, nil, nil, ""},
		{"the pupil", c, map[string]any{api.PupilClaim: "p-07c2"}, nil, ""},
		{"another pupil", c, map[string]any{api.PupilClaim: "p-1e90"}, nil, "/pupil"},
		{"a pupil in capitals", c, map[string]any{api.PupilClaim: "P-07C2"}, nil, "/pupil"},
		{"a pupil that is a number", c, map[string]any{api.PupilClaim: 7}, nil, "/pupil"},
		{"a pupil that is empty", c, map[string]any{api.PupilClaim: ""}, nil, "/pupil"},
		{"pin demanded", pinned, nil, nil, "/pupil"},
		{"pin demanded and given", pinned, map[string]any{api.PupilClaim: "p-07c2"}, nil, ""},
		{"the line item", c, endpoint(map[string]any{"lineitem": c.lineItem, "scope": []string{platform.ScoreScope}}), nil, ""},
		{"the line item, no word on rights", c, endpoint(map[string]any{"lineitem": c.lineItem}), nil, ""},
		{"the line item, no right", c, endpoint(map[string]any{"lineitem": c.lineItem, "scope": []string{}}), nil, "/target"},
		{"another line item", c, endpoint(map[string]any{"lineitem": c.lineItem + "-b"}), nil, "/target"},
		{"claim without line item", c, endpoint(map[string]any{}), nil, "/target"},
		{"claim of another shape", c, map[string]any{api.EndpointClaim: c.lineItem}, nil, "/target"},
		{"pinned to a line item, webhook named", c, endpoint(map[string]any{"lineitem": c.lineItem}), target(map[string]any{"webhook": hookName}), "/target"},
		{"own webhook", c, nil, target(map[string]any{"webhook": hookName}), ""},
		{"unknown webhook", c, nil, target(map[string]any{"webhook": "morning-circle"}), "/target/webhook"},
		{"another host", c, nil, target(map[string]any{"lineItem": "https://elsewhere.example/items/7"}), "/target/lineItem"},
		{"metadata address", c, nil, target(map[string]any{"lineItem": "http://169.254.169.254/latest"}), "/target/lineItem"},
		{"user info", c, nil, target(map[string]any{"lineItem": "http://a@" + c.lineItem[len("http://"):]}), "/target/lineItem"},
		{"dot segments", c, nil, target(map[string]any{"lineItem": c.lineItem + "/../x"}), "/target/lineItem"},
		{"a script", c, nil, target(map[string]any{"lineItem": "javascript:alert(1)"}), "/target/lineItem"},
		{"relative", c, nil, target(map[string]any{"lineItem": "/items/7"}), "/target/lineItem"},
	} {
		t.Run(row.name, func(t *testing.T) {
			c := *row.circle
			c.t = t
			answer := c.do(withClaims(changed(row.changes), row.claims)(&c))
			if row.place == "" {
				assert.Equal(t, 200, answer.status, "%s", answer.body)
				return
			}
			assert.Equal(t, "not-permitted", answer.problem(t))
			assert.Equal(t, []string{row.place}, answer.pointers(t))
		})
	}
}

// A webhook belongs to one platform; the token's issuer decides which.
func TestAnotherPlatformsWebhookIsRefused(t *testing.T) {
	c := newCircle(t, func(c *api.Config) {
		other := *c.Platforms[0].Registration
		other.Issuer = "https://other.example"
		c.Platforms = append(c.Platforms, api.Platform{Registration: &other, Webhooks: c.Platforms[0].Webhooks})
		c.Platforms[0].Webhooks = nil
	})
	answer := c.do(changed(map[string]any{"target": map[string]any{"webhook": hookName}})(c))
	assert.Equal(t, "not-permitted", answer.problem(t))
	assert.Empty(t, c.platform.Webhooks())
}
