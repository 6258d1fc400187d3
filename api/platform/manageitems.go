package platform

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/big"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"
)

// Rights on line items, and their media types. Source: LTI Assignment and Grade Services 2.0, sections 3.2 and 3.2.1.
const (
	ItemReadScope          = "https://purl.imsglobal.org/spec/lti-ags/scope/lineitem.readonly"
	ItemScope              = "https://purl.imsglobal.org/spec/lti-ags/scope/lineitem"
	ItemMediaType          = "application/vnd.ims.lis.v2.lineitem+json"
	ItemContainerMediaType = "application/vnd.ims.lis.v2.lineitemcontainer+json"
)

// LineItem is one column of a platform's gradebook.
type LineItem struct {
	ID             string // its address
	Label          string // not blank
	Maximum        *big.Rat
	ResourceID     string // this service's own name for what is marked, "" when absent
	Tag            string
	ResourceLinkID string
}

// ItemQuery says which line item is meant: one of the container that has every name that is given.
type ItemQuery struct {
	Container      string // the address of the course's line items
	ResourceLinkID string
	ResourceID     string
	Tag            string
}

func (q ItemQuery) check() error {
	if q.ResourceLinkID+q.ResourceID+q.Tag == "" {
		return errors.New("line item: expected at least one of resource link id, resource id and tag")
	}
	return nil
}

func (q ItemQuery) filter() url.Values {
	filter := url.Values{"limit": {strconv.Itoa(pageSize)}}
	for name, value := range map[string]string{"resource_link_id": q.ResourceLinkID, "resource_id": q.ResourceID, "tag": q.Tag} {
		if value != "" {
			filter.Set(name, value)
		}
	}
	return filter
}

func (q ItemQuery) fits(item LineItem) bool {
	same := func(wanted, found string) bool { return wanted == "" || wanted == found }
	return same(q.ResourceLinkID, item.ResourceLinkID) && same(q.ResourceID, item.ResourceID) && same(q.Tag, item.Tag)
}

// FindLineItems lists the line items that a query means, with the right to read them alone.
//
// Errors and cost: as ReadResults. Source: LTI Assignment and Grade Services 2.0, sections 3.2.4 and 3.2.15.
func (c *Client) FindLineItems(ctx context.Context, r *Registration, q ItemQuery) ([]LineItem, error) {
	return c.find(ctx, r, q, ItemReadScope)
}

func (c *Client) find(ctx context.Context, r *Registration, q ItemQuery, scope string) ([]LineItem, error) {
	if _, err := c.target(r, q.Container); err != nil {
		return nil, err
	}
	if err := q.check(); err != nil {
		return nil, err
	}
	var items []LineItem
	err := c.pages(ctx, "line-items", r, scope, withQuery(q.Container, q.filter()), ItemContainerMediaType, func(entry map[string]json.RawMessage) bool {
		item, ok := readLineItem(entry)
		if ok && q.fits(item) { // the platform may pass over filters
			items = append(items, item)
		}
		return ok
	})
	return items, err
}

// FindOrCreateLineItem gives the one line item that a query means, and makes it where there is none and one is given.
// It looks first, and looks again where the end of making it is unclear, so that a copied course or a lost answer
// does not lead to a second column; several calls at the same time for the same one are one call.
//
// Errors: as FindLineItems; several that fit, or none and nothing to make, are refused. Two instances of the service
// that make the same one at the very same time may make two.
// Source: LTI Assignment and Grade Services 2.0, sections 3.2.5 to 3.2.9 and 3.2.15.
func (c *Client) FindOrCreateLineItem(ctx context.Context, r *Registration, q ItemQuery, create *LineItem) (LineItem, error) {
	if create == nil {
		return c.single(ctx, r, q, ItemReadScope, false)
	}
	if r == nil {
		return LineItem{}, errors.New("registration: missing")
	}
	done := c.making.DoChan(fmt.Sprintf("%s %q", tokenKey(r, nil), []string{q.Container, q.ResourceLinkID, q.ResourceID, q.Tag}), func() (any, error) {
		return c.findOrCreate(context.WithoutCancel(ctx), r, q, *create)
	})
	select {
	case <-ctx.Done():
		return LineItem{}, &CallError{Outcome{State: Retry, Reason: "the time allowed was over before the line item was found"}}
	case got := <-done:
		if got.Err != nil {
			return LineItem{}, got.Err
		}
		return got.Val.(LineItem), nil
	}
}

func (c *Client) findOrCreate(ctx context.Context, r *Registration, q ItemQuery, create LineItem) (LineItem, error) {
	item, err := c.single(ctx, r, q, ItemScope, true)
	if err != nil || item.ID != "" {
		return item, err
	}
	create.ResourceID, create.Tag, create.ResourceLinkID = q.ResourceID, q.Tag, q.ResourceLinkID
	item, end, err := c.create(ctx, r, q.Container, create)
	if err != nil || end.State == Delivered {
		return item, err
	}
	if end.unclear {
		if item, err := c.single(ctx, r, q, ItemScope, true); err != nil || item.ID != "" {
			return item, err
		}
	}
	return LineItem{}, &CallError{end.Outcome}
}

// single is the one item that fits. None is an error unless it may be made.
func (c *Client) single(ctx context.Context, r *Registration, q ItemQuery, scope string, mayBeMade bool) (LineItem, error) {
	items, err := c.find(ctx, r, q, scope)
	switch {
	case err != nil:
		return LineItem{}, err
	case len(items) > 1:
		return LineItem{}, &CallError{Outcome{State: Refused, Reason: "several line items fit"}}
	case len(items) == 1:
		return items[0], nil
	case mayBeMade:
		return LineItem{}, nil
	}
	return LineItem{}, &CallError{Outcome{State: Refused, Reason: "no line item fits"}}
}

// create makes a line item, in one try: a repeat might make two.
func (c *Client) create(ctx context.Context, r *Registration, container string, item LineItem) (LineItem, attempt, error) {
	body, err := item.encode()
	if err != nil {
		return LineItem{}, attempt{}, err
	}
	a := authorized{client: c, registration: r, scope: ItemScope}
	started := time.Now()
	got, end := a.fetch(ctx, message{method: http.MethodPost, url: container, accept: ItemMediaType, kind: ItemMediaType, body: body}, maxPageBytes)
	end.Attempts = 1
	c.note("line-item", r.Issuer, started, end.Outcome)
	if end.State != Delivered {
		return LineItem{}, end, nil
	}
	entry, err := strictObject(got.body)
	made, ok := readLineItem(entry)
	if err != nil || !ok {
		end.State, end.Reason = Refused, "the answer is not what its media type says"
		return LineItem{}, end, nil
	}
	return made, end, nil
}

// encode is the item as it is sent. Errors: name the member and the rule.
func (i LineItem) encode() ([]byte, error) {
	if strings.TrimSpace(i.Label) == "" {
		return nil, errors.New("line item: the label is blank")
	}
	if i.Maximum == nil || i.Maximum.Sign() <= 0 {
		return nil, errors.New("line item: scoreMaximum must be above zero")
	}
	maximum, err := decimal(i.Maximum, big.NewInt(1))
	if err != nil {
		return nil, errors.New("line item: scoreMaximum is not a decimal of reasonable length")
	}
	w := memberWriter{}
	w.raw("scoreMaximum", maximum)
	w.text("label", i.Label)
	w.text("resourceId", i.ResourceID)
	w.text("tag", i.Tag)
	w.text("resourceLinkId", i.ResourceLinkID)
	return w.object()
}

// readLineItem takes the known members; others are passed over.
//
// Source: LTI Assignment and Grade Services 2.0, sections 3.2.5 to 3.2.12.
func readLineItem(entry map[string]json.RawMessage) (LineItem, bool) {
	var item LineItem
	var okID, okMaximum bool
	item.ID, okID = textMember(entry["id"])
	item.Maximum, okMaximum = parseNumber(string(entry["scoreMaximum"]))
	if !okID || item.ID == "" || !okMaximum || item.Maximum.Sign() <= 0 {
		return LineItem{}, false
	}
	item.Label, _ = textMember(entry["label"])
	item.ResourceID, _ = textMember(entry["resourceId"])
	item.Tag, _ = textMember(entry["tag"])
	item.ResourceLinkID, _ = textMember(entry["resourceLinkId"])
	return item, true
}
