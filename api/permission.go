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
	rights := []string{platform.ItemReadScope, platform.ItemScope} // each is enough for looking
	if s.Target.Lookup.Create {
		rights = rights[1:]
	}
	if s.Target.Lookup.LineItems == "" {
		rights = nil
	}
	if p := permitEndpoint(ex.caller.Claims, s.Target.LineItem, s.Target.Lookup.LineItems, rights...); p != nil {
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

// permitEndpoint reads the endpoint claim strictly: one that cannot be read permits nothing. It must name the line item,
// or else the container in which the line item is looked up, and hold the right to post scores and one of the others.
func permitEndpoint(claims map[string]json.RawMessage, lineItem, container string, others ...string) *Problem {
	raw, pinned := claims[EndpointClaim]
	if !pinned {
		return nil
	}
	var endpoint struct {
		LineItem  string    `json:"lineitem"`
		LineItems string    `json:"lineitems"`
		Scope     *[]string `json:"scope"`
	}
	fits := json.Unmarshal(raw, &endpoint) == nil &&
		(lineItem != "" && endpoint.LineItem == lineItem ||
			container != "" && endpoint.LineItem == "" && endpoint.LineItems == container)
	holds := func(right string) bool { return endpoint.Scope == nil || slices.Contains(*endpoint.Scope, right) }
	switch {
	case !fits:
		return notPermitted("/target", "is not the line item that the token is for", "line-item")
	case !holds(platform.ScoreScope), len(others) > 0 && !slices.ContainsFunc(others, holds):
		return notPermitted("/target", "the token does not give every right that this target needs", "line-item-scope")
	}
	return nil
}
