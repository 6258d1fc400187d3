package platform

import (
	"encoding/json"
	"maps"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type launchVectors struct {
	Context struct {
		Now         int64    `json:"now_unix"`
		Leeway      int      `json:"leeway_seconds"`
		ClientID    string   `json:"client_id"`
		Issuer      string   `json:"platform_issuer"`
		Deployments []string `json:"known_deployments"`
		Nonce       string   `json:"expected_nonce"`
		Target      string   `json:"expected_target_link_uri"`
	}
	IDToken struct {
		Accept, Reject []struct {
			ID     string
			Claims map[string]json.RawMessage
		}
	} `json:"id_token"`
}

func (v launchVectors) expectation() (LaunchExpectation, time.Time) {
	return LaunchExpectation{
		Issuer: v.Context.Issuer, ClientID: v.Context.ClientID, Deployments: v.Context.Deployments, Nonce: v.Context.Nonce,
		Leeway: time.Duration(v.Context.Leeway) * time.Second, MaxAge: 10 * time.Minute,
	}, time.Unix(v.Context.Now, 0)
}

// The claim sets are own constructions after the Security Framework and LTI Core; each names its section in the file.
func TestLaunchVectors(t *testing.T) {
	var file launchVectors
	vectors(t, "lti-claims.json", &file)
	require.Len(t, file.IDToken.Accept, 7)
	require.Len(t, file.IDToken.Reject, 22)
	want, now := file.expectation()
	for _, v := range file.IDToken.Accept {
		launch, err := CheckLaunch(encoded(t, v.Claims), want, now)
		require.NoError(t, err, v.ID)
		assert.Equal(t, &Launch{
			User: "learner-4821", Deployment: "dep-3", ResourceLink: "link-88", TargetLinkURI: file.Context.Target,
			LineItem: "https://platform.example/items/31", ServiceScopes: []string{ScoreScope},
		}, launch, v.ID)
	}
	claim := map[string]string{
		"iss-unknown": "iss", "aud-other": "aud", "aud-extra-untrusted": "aud", "azp-other": "azp", "expired": "exp", "iat-in-future": "iat",
		"nonce-missing": "nonce", "nonce-other": "nonce", "version-missing": claimVersion, "version-other": claimVersion,
		"message-type-missing": claimMessageType, "message-type-other": claimMessageType, "deployment-missing": DeploymentClaim,
		"deployment-unknown": DeploymentClaim, "deployment-too-long": DeploymentClaim, "roles-missing": claimRoles,
		"resource-link-missing": claimResourceLink, "resource-link-without-id": claimResourceLink, "target-link-missing": claimTargetLink,
		"sub-missing": "sub", "sub-too-long": "sub", "ags-plain-http": claimEndpoint,
	}
	for _, v := range file.IDToken.Reject {
		launch, err := CheckLaunch(encoded(t, v.Claims), want, now)
		assert.Nil(t, launch, v.ID)
		require.Contains(t, claim, v.ID)
		assert.ErrorContains(t, err, "launch: "+claim[v.ID]+" ", v.ID)
	}
}

func encoded(t *testing.T, claims any) []byte {
	t.Helper()
	raw, err := json.Marshal(claims)
	require.NoError(t, err)
	return raw
}

// Each row changes one claim of a good launch.
func TestLaunchesBeyondThePublishedCases(t *testing.T) {
	var file launchVectors
	vectors(t, "lti-claims.json", &file)
	want, now := file.expectation()
	leeway, at := int64(60), now.Unix()
	for _, row := range []struct {
		name, claim, value string // "": taken away
		good               bool
	}{
		{"issuer with a slash", "iss", `"https://platform.example/"`, false},
		{"issuer in a list", "iss", `["https://platform.example"]`, false},
		{"audience empty", "aud", `[]`, false},
		{"audience missing", "aud", ``, false},
		{"azp null", "azp", `null`, false},
		{"expires within the leeway", "exp", number(at - leeway + 1), true},
		{"expired by the leeway", "exp", number(at - leeway), false},
		{"expiry in words", "exp", `"1735689900"`, false},
		{"expiry missing", "exp", ``, false},
		{"issued ahead within the leeway", "iat", number(at + leeway), true},
		{"issued ahead beyond the leeway", "iat", number(at + leeway + 1), false},
		{"issued at the age limit", "iat", number(at - 600 - leeway), true},
		{"issued beyond the age limit", "iat", number(at - 600 - leeway - 1), false},
		{"issue missing", "iat", ``, false},
		{"not before now", "nbf", number(at), true},
		{"not before later", "nbf", number(at + leeway + 1), false},
		{"not before in words", "nbf", `"soon"`, false},
		{"nonce empty", "nonce", `""`, false},
		{"subject blank", "sub", `"  "`, false},
		{"subject of 255", "sub", `"` + strings.Repeat("s", 255) + `"`, true},
		{"subject with an umlaut", "sub", `"schüler"`, false},
		{"subject a number", "sub", `7`, false},
		{"link id blank", claimResourceLink, `{"id":""}`, false},
		{"link a text", claimResourceLink, `"link-88"`, false},
		{"roles a text", claimRoles, `"Learner"`, false},
		{"roles null", claimRoles, `null`, false},
		{"target over plain http", claimTargetLink, `"http://grading.example/launch"`, false},
		{"target a script", claimTargetLink, `"javascript:alert(1)"`, false},
		{"no grade services", claimEndpoint, ``, true},
		{"container", claimEndpoint, `{"lineitems":"https://platform.example/items"}`, true},
		{"container over plain http", claimEndpoint, `{"lineitems":"http://platform.example/items"}`, false},
		{"scopes a text", claimEndpoint, `{"scope":"score"}`, false},
		{"grade services a text", claimEndpoint, `"https://platform.example/items/31"`, false},
	} {
		claims := maps.Clone(file.IDToken.Accept[0].Claims)
		if claims[row.claim] = json.RawMessage(row.value); row.value == "" {
			delete(claims, row.claim)
		}
		_, err := CheckLaunch(encoded(t, claims), want, now)
		assert.Equal(t, row.good, err == nil, "%s: %v", row.name, err)
	}
	good := string(encoded(t, file.IDToken.Accept[0].Claims))
	for name, payload := range map[string]string{
		"claim twice": strings.Replace(good, `{`, `{"sub":"p-1e90",`, 1), "not JSON": "x", "a list": "[]", "more behind": good + "{}",
	} {
		_, err := CheckLaunch([]byte(payload), want, now)
		assert.Error(t, err, name)
	}
	want.Nonce = ""
	_, err := CheckLaunch([]byte(strings.Replace(good, `"n-6d1c"`, `""`, 1)), want, now)
	assert.ErrorContains(t, err, "nonce", "an expectation that is empty is met by nothing")
}

func number(n int64) string { raw, _ := json.Marshal(n); return string(raw) }

// Whatever is sent, the checker neither panics nor repeats it.
func FuzzLaunch(f *testing.F) {
	text := func(claims any) []byte { raw, _ := json.Marshal(claims); return raw }
	var file launchVectors
	vectors(f, "lti-claims.json", &file)
	for _, v := range append(file.IDToken.Accept, file.IDToken.Reject...) {
		f.Add(text(v.Claims))
	}
	want, now := file.expectation()
	f.Fuzz(func(t *testing.T, payload []byte) {
		launch, err := CheckLaunch(payload, want, now)
		if (launch == nil) == (err == nil) {
			t.Fatal("either a launch or an error")
		}
		if launch != nil && (launch.User == "" || launch.Deployment != "dep-3") {
			t.Fatal("a launch without its parts")
		}
	})
}
