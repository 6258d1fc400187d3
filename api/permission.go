package api

import (
	"encoding/json"
	"slices"

	"squaremark/api/contract"
	"squaremark/api/platform"
)

// Claims that pin a token to one pupil or one line item.
const (
	// PupilClaim names the pupil that a token is for.
	PupilClaim = "https://squaremark.example/claim/pupil"
	// EndpointClaim names the line item that a token is for, and the rights on it. Source: LTI Assignment and Grade
	// Services 2.0, section 3.1.
	EndpointClaim = "https://purl.imsglobal.org/spec/lti-ags/claim/endpoint"
)

// destination is where a score or an event goes: exactly one part is set.
type destination struct {
	lineItem string
	hook     *platform.Webhook
	lookup   contract.LineItemLookup
}

// permit decides whether the caller may send this submission: pupil and target must agree with what the token is
// pinned to, line items must lie on an origin agreed for the platform, webhooks must be the platform's own.
//
// Source: OWASP API Security 2023, API1, API3 and API7.
func permit(ex *exchange, s contract.Submission) (destination, *Problem) {
	if p := permitPupil(ex, s.Pupil); p != nil {
		return destination{}, p
	}
	if p := permitEndpoint(ex.caller.Claims, s.Target); p != nil {
		return destination{}, p
	}
	to := destination{lineItem: s.Target.LineItem}
	if s.Target.LineItem != "" {
		if err := ex.partner.registration.CheckLineItem(s.Target.LineItem); err != nil {
			return destination{}, notPermitted("/target/lineItem", "is not an address on an origin agreed for this platform", "origin")
		}
		return to, nil
	}
	if to.lookup = s.Target.Lookup; to.lookup.LineItems != "" {
		return to, permitLookup(ex.partner, to.lookup)
	}
	hook, known := ex.partner.hooks[s.Target.Webhook]
	if !known {
		return destination{}, notPermitted("/target/webhook", "is not a webhook of this platform", "webhook")
	}
	to.hook = hook
	return to, nil
}

func permitPupil(ex *exchange, pupil string) *Problem {
	_, pinned := ex.caller.Claims[PupilClaim]
	switch {
	case pinned && ex.caller.Text(PupilClaim) != pupil:
		return notPermitted("/pupil", "is not the pupil that the token is for", "pupil")
	case !pinned && ex.partner.pinnedOnly:
		return notPermitted("/pupil", "the token must say which pupil it is for", "pupil-claim")
	}
	return nil
}

// permitLookup decides whether the platform's submissions may find, and make, line items there.
func permitLookup(p *partner, lookup contract.LineItemLookup) *Problem {
	switch {
	case p.lookup == NoLookup:
		return notPermitted("/target/lookup", "line items are not looked up for this platform", "lookup")
	case lookup.Create && p.lookup != LookupAndCreate:
		return notPermitted("/target/lookup/create", "line items are not made for this platform", "lookup-create")
	case p.registration.CheckLineItem(lookup.LineItems) != nil:
		return notPermitted("/target/lookup/lineItems", "is not an address on an origin agreed for this platform", "origin")
	}
	return nil
}

// permitEndpoint reads the endpoint claim strictly: one that cannot be read permits nothing.
func permitEndpoint(claims map[string]json.RawMessage, target contract.Target) *Problem {
	raw, pinned := claims[EndpointClaim]
	if !pinned {
		return nil
	}
	var endpoint struct {
		LineItem  string    `json:"lineitem"`
		LineItems string    `json:"lineitems"`
		Scope     *[]string `json:"scope"`
	}
	if json.Unmarshal(raw, &endpoint) != nil {
		return notPermitted("/target", "is not the line item that the token is for", "line-item")
	}
	needed := []string{platform.ScoreScope}
	switch {
	case target.LineItem != "" && endpoint.LineItem == target.LineItem:
	case target.Lookup.LineItems != "" && endpoint.LineItem == "" && endpoint.LineItems == target.Lookup.LineItems:
		needed = append(needed, platform.ItemScope)
		if !target.Lookup.Create && endpoint.Scope != nil && slices.Contains(*endpoint.Scope, platform.ItemReadScope) {
			needed[1] = platform.ItemReadScope
		}
	default:
		return notPermitted("/target", "is not the line item that the token is for", "line-item")
	}
	for _, scope := range needed {
		if endpoint.Scope != nil && !slices.Contains(*endpoint.Scope, scope) {
			return notPermitted("/target", "the token does not give every right that this target needs", "line-item-scope")
		}
	}
	return nil
}
