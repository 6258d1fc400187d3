package platform

import (
	"crypto/rand"
	"net/url"
	"slices"
	"strings"
	"time"
)

// assertionLife is how long a client assertion is good for. Source: 1EdTech Security Framework 1.0, section 4.1.1.
const assertionLife = 5 * time.Minute

// ScoreScope is the only right that posting scores needs. Source: LTI Assignment and Grade Services 2.0, section 3.4.2.
const ScoreScope = "https://purl.imsglobal.org/spec/lti-ags/scope/score"

// assertion makes the signed claims with which this service names itself at the token endpoint. Times are JSON
// numbers; the token identifier holds at least 128 random bits and is never used twice.
//
// Source: LTI Core 1.3, sections 6.2 and 6.2.1; RFC 7523, section 3.
func assertion(r *Registration, now time.Time) (string, error) {
	claims := map[string]any{
		"iss": r.ClientID,
		"sub": r.ClientID,
		"aud": r.TokenAudience,
		"iat": now.Unix(),
		"exp": now.Add(assertionLife).Unix(),
		"jti": rand.Text(),
	}
	if r.DeploymentID != "" {
		claims[DeploymentClaim] = r.DeploymentID
	}
	return r.Keys.Current().Sign("JWT", claims)
}

// tokenForm is the body of a token request: exactly four fields.
//
// Source: 1EdTech Security Framework 1.0, section 4.1.1; RFC 7523, section 2.2.
func tokenForm(signed string, scopes []string) url.Values {
	return url.Values{
		"grant_type":            {"client_credentials"},
		"client_assertion_type": {"urn:ietf:params:oauth:client-assertion-type:jwt-bearer"},
		"client_assertion":      {signed},
		"scope":                 {strings.Join(scopes, " ")},
	}
}

// sortedScopes is the canonical order of the scopes of one request, without repeats.
func sortedScopes(scopes []string) []string {
	sorted := slices.Clone(scopes)
	slices.Sort(sorted)
	return slices.Compact(sorted)
}
