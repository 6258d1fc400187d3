package platform

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Names of launch claims. Source: LTI Core 1.3, section 5.3; LTI Assignment and Grade Services 2.0, section 3.1.
const (
	claimMessageType  = "https://purl.imsglobal.org/spec/lti/claim/message_type"
	claimVersion      = "https://purl.imsglobal.org/spec/lti/claim/version"
	claimTargetLink   = "https://purl.imsglobal.org/spec/lti/claim/target_link_uri"
	claimResourceLink = "https://purl.imsglobal.org/spec/lti/claim/resource_link"
	claimRoles        = "https://purl.imsglobal.org/spec/lti/claim/roles"
	claimEndpoint     = "https://purl.imsglobal.org/spec/lti-ags/claim/endpoint"
)

const (
	launchMessage = "LtiResourceLinkRequest"
	launchVersion = "1.3.0"
	maxLaunchID   = 255 // of deployments, links and subjects, in octets
)

// LaunchExpectation is what a launch must fit: the registration, and the login that this service began.
type LaunchExpectation struct {
	Issuer      string        // exact text
	ClientID    string        // what the platform calls this service
	Deployments []string      // those that are known
	Nonce       string        // the one that went out with the login
	Leeway      time.Duration // for clocks that differ
	MaxAge      time.Duration // since "iat"
}

// Launch is what a good launch tells. Names, mail addresses and roles are not read.
type Launch struct {
	User          string // the platform's own id of the pupil, the user id of later scores
	Deployment    string
	ResourceLink  string
	TargetLinkURI string
	LineItem      string // "" where the platform names none
	LineItems     string // the container, "" where the platform names none
	ServiceScopes []string
}

// CheckLaunch holds the claims of an id_token, whose signature was verified with the issuer's registered key, against
// what is expected. It is a pure function. Claims and roles that are unknown are passed over. Whether the nonce was
// used before is for the caller to remember.
//
// Errors: name the claim and the rule, never a value.
// Source: 1EdTech Security Framework 1.0, sections 5.1.2 and 5.1.3; LTI Core 1.3, sections 3.1.3, 3.5 and 5.3; a
// launch without a user is refused because there would be nobody to score.
func CheckLaunch(payload []byte, want LaunchExpectation, now time.Time) (*Launch, error) {
	claims, err := strictObject(payload)
	if err != nil {
		return nil, fmt.Errorf("launch: %w", err)
	}
	r := launchReader{claims: claims}
	r.exact("iss", want.Issuer)
	r.audience(want.ClientID)
	r.times(now, want)
	r.exact("nonce", want.Nonce)
	r.exact(claimMessageType, launchMessage)
	r.exact(claimVersion, launchVersion)
	var l Launch
	l.User = r.id("sub", claims["sub"])
	l.Deployment = r.id(DeploymentClaim, claims[DeploymentClaim])
	if !slices.Contains(want.Deployments, l.Deployment) {
		r.fail(DeploymentClaim, "is not known for this client")
	}
	l.ResourceLink = r.id(claimResourceLink, r.object(claimResourceLink)["id"])
	l.TargetLinkURI = r.address(claimTargetLink, claims[claimTargetLink])
	r.roles()
	r.endpoint(&l)
	if r.err != nil {
		return nil, r.err
	}
	return &l, nil
}

// launchReader remembers the first fault.
type launchReader struct {
	claims map[string]json.RawMessage
	err    error
}

func (r *launchReader) fail(claim, rule string) {
	if r.err == nil {
		r.err = fmt.Errorf("launch: %s %s", claim, rule)
	}
}

// exact wants one text, character by character. An expectation that is empty is met by nothing.
func (r *launchReader) exact(claim, wanted string) {
	if text, ok := textMember(r.claims[claim]); !ok || wanted == "" || text != wanted {
		r.fail(claim, "is missing or not the expected one")
	}
}

// audience wants this client and nobody else; "azp", where there, names it too.
func (r *launchReader) audience(client string) {
	audience, ok := textOrList(r.claims["aud"])
	if !ok || client == "" || slices.ContainsFunc(audience, func(one string) bool { return one != client }) {
		r.fail("aud", "is missing or names others than this client")
	}
	if _, stated := r.claims["azp"]; stated {
		r.exact("azp", client)
	}
}

func (r *launchReader) times(now time.Time, want LaunchExpectation) {
	expires, okExpires := numericDate(r.claims["exp"])
	issued, okIssued := numericDate(r.claims["iat"])
	switch {
	case !okExpires || !now.Before(expires.Add(want.Leeway)):
		r.fail("exp", "is missing, not a number, or over")
	case !okIssued || issued.After(now.Add(want.Leeway)):
		r.fail("iat", "is missing, not a number, or in the future")
	case now.Sub(issued) > want.MaxAge+want.Leeway:
		r.fail("iat", "is too long ago")
	}
	if raw, stated := r.claims["nbf"]; stated {
		if from, ok := numericDate(raw); !ok || from.After(now.Add(want.Leeway)) {
			r.fail("nbf", "is not a number or in the future")
		}
	}
}

// id wants 1 to 255 printable ASCII characters that are not all blanks.
func (r *launchReader) id(claim string, raw json.RawMessage) string {
	text, ok := textMember(raw)
	if !ok || strings.TrimSpace(text) == "" || len(text) > maxLaunchID || !printableASCII(text) {
		r.fail(claim, "is missing or not 1 to 255 ASCII characters")
	}
	return text
}

func (r *launchReader) object(claim string) map[string]json.RawMessage {
	members, err := strictObject(r.claims[claim])
	if err != nil {
		r.fail(claim, "is missing or not an object")
	}
	return members
}

// address wants https in the one accepted spelling.
func (r *launchReader) address(claim string, raw json.RawMessage) string {
	text, ok := textMember(raw)
	if _, err := parseTarget(text, false); !ok || err != nil {
		r.fail(claim, "is missing or not an https address")
	}
	return text
}

func (r *launchReader) roles() {
	var roles []string
	if json.Unmarshal(r.claims[claimRoles], &roles) != nil || roles == nil {
		r.fail(claimRoles, "is missing or not a list of texts")
	}
}

// endpoint reads the addresses of the grade services; the claim may be missing.
func (r *launchReader) endpoint(l *Launch) {
	if _, stated := r.claims[claimEndpoint]; !stated {
		return
	}
	members := r.object(claimEndpoint)
	if raw, stated := members["lineitem"]; stated {
		l.LineItem = r.address(claimEndpoint, raw)
	}
	if raw, stated := members["lineitems"]; stated {
		l.LineItems = r.address(claimEndpoint, raw)
	}
	if raw, stated := members["scope"]; stated && json.Unmarshal(raw, &l.ServiceScopes) != nil {
		r.fail(claimEndpoint, "has a scope that is not a list of texts")
	}
}
