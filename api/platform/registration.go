package platform

import (
	"errors"
	"fmt"
	"slices"
)

// Registration is what a course platform and this service agreed on, once, out of band.
type Registration struct {
	Issuer       string // the platform's issuer, exact text
	ClientID     string // what the platform calls this service
	DeploymentID string // optional; sent as a claim of the assertion when set

	TokenURL      string // where access tokens are asked for
	TokenAudience string // the "aud" of the assertion; agreed apart, often but not always the token URL

	LineItemOrigins []string // exact origins (scheme, host, port) that line items may live on

	Keys *KeySet // signs the assertions; a platform should have a set of its own

	// AllowPlainHTTP and AllowLoopback are for tests and the demo only: scores and tokens travel unencrypted, or to
	// this machine. The client warns when one of them is on.
	AllowPlainHTTP bool
	AllowLoopback  bool
}

// DeploymentClaim is the claim name of the deployment identifier. Source: LTI Core 1.3, sections 5.3.3 and 6.2.1.
const DeploymentClaim = "https://purl.imsglobal.org/spec/lti/claim/deployment_id"

// Validate checks a registration at start-up.
//
// Errors: name the field and the defect. Source: LTI Core 1.3, sections 3.1.3, 3.5 and 6.2; 1EdTech Security
// Framework 1.0, sections 3 and 4.1.1.
func (r *Registration) Validate() error {
	switch {
	case r.Issuer == "" || len(r.Issuer) > maxURL:
		return errors.New("registration: the issuer is empty or too long")
	case r.ClientID == "" || len(r.ClientID) > 255:
		return errors.New("registration: the client id is empty or longer than 255 characters")
	case len(r.DeploymentID) > 255 || !printableASCII(r.DeploymentID):
		return errors.New("registration: the deployment id is not up to 255 ASCII characters")
	case r.TokenAudience == "":
		return errors.New("registration: the token audience is empty; it is agreed apart from the token URL")
	case r.Keys == nil:
		return errors.New("registration: there is no key set to sign with")
	case len(r.LineItemOrigins) == 0:
		return errors.New("registration: the list of line item origins is empty")
	}
	if _, err := parseTarget(r.TokenURL, r.AllowPlainHTTP); err != nil {
		return fmt.Errorf("registration: token URL: %w", err)
	}
	for i, origin := range r.LineItemOrigins {
		if err := checkOrigin(origin, r.AllowPlainHTTP); err != nil {
			return fmt.Errorf("registration: line item origin %d: %w", i+1, err)
		}
	}
	return nil
}

// CheckLineItem tells whether scores may go to this line item: one strict parse, then an exact compare of the origin.
//
// Errors: never repeat the address, which may come from a caller. Source: OWASP API Security 2023, API7.
func (r *Registration) CheckLineItem(lineItem string) error {
	t, err := parseTarget(lineItem, r.AllowPlainHTTP)
	if err != nil {
		return fmt.Errorf("line item: %w", err)
	}
	if !slices.Contains(r.LineItemOrigins, t.origin) {
		return errors.New("line item: its origin is not on the list for this platform")
	}
	return nil
}

// relaxed names the switches for tests and the demo that are on.
func (r *Registration) relaxed() []string {
	var on []string
	if r.AllowPlainHTTP {
		on = append(on, "plain HTTP allowed")
	}
	if r.AllowLoopback {
		on = append(on, "loopback allowed")
	}
	return on
}

func printableASCII(text string) bool {
	for i := 0; i < len(text); i++ {
		if text[i] < ' ' || text[i] > '~' {
			return false
		}
	}
	return true
}
