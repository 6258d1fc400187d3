package platform

import (
	"context"
	"encoding/json"
	"errors"
	"math/big"
	"mime"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"
)

const (
	// ResultScope is the right to read results. Source: LTI Assignment and Grade Services 2.0, section 3.3.2.
	ResultScope = "https://purl.imsglobal.org/spec/lti-ags/scope/result.readonly"
	// ResultMediaType is the media type of results. Source: section 3.3.4.
	ResultMediaType = "application/vnd.ims.lis.v2.resultcontainer+json"

	pageSize     = 100     // results or line items asked for at once; a platform may give fewer
	maxPages     = 100     // of one reading
	maxPageBytes = 1 << 20 // of one page
	maxEntries   = 10_000  // of one reading
)

// Result is what a platform's gradebook shows for one pupil on one line item. A teacher may have changed it: the
// platform has the last word.
type Result struct {
	ID            string
	UserID        string
	Score         *big.Rat // nil: no score
	Maximum       *big.Rat // what Score is out of, above zero; 1 where the platform says nothing
	Comment       string
	ScoringUserID string
}

// ReadResults reads the results of a line item, for checking what became of scores: all of them, or those of one pupil
// (userID not ""). Pages are followed by their next links as given, as long as these stay on an agreed origin.
//
// Errors: a *[CallError], or the error of a registration or line item that breaks a rule; then nothing was sent.
// Cost: at most 100 pages of 1 MiB and 10 000 entries, each repeated in passing trouble as a score is.
// Source: LTI Assignment and Grade Services 2.0, sections 3.3, 3.3.1 and 3.3.6; RFC 8288.
func (c *Client) ReadResults(ctx context.Context, r *Registration, lineItem, userID string) ([]Result, error) {
	where, err := c.target(r, lineItem)
	if err != nil {
		return nil, err
	}
	if where, err = ResultsURL(where); err != nil {
		return nil, err
	}
	filter := url.Values{"limit": {strconv.Itoa(pageSize)}}
	if userID != "" {
		filter.Set("user_id", userID)
	}
	var results []Result
	err = c.pages(ctx, "results", r, ResultScope, withQuery(where, filter), ResultMediaType, func(entry map[string]json.RawMessage) bool {
		one, ok := readResult(entry)
		if ok && (userID == "" || one.UserID == userID) { // the platform may pass over filters
			results = append(results, one)
		}
		return ok
	})
	return results, err
}

// target checks registration and address before anything is sent.
func (c *Client) target(r *Registration, address string) (string, error) {
	if r == nil {
		return "", errors.New("registration: missing")
	}
	if err := r.Validate(); err != nil {
		return "", err
	}
	return address, r.CheckLineItem(address)
}

// withQuery adds parameters behind those that are there.
func withQuery(address string, more url.Values) string {
	if strings.Contains(address, "?") {
		return address + "&" + more.Encode()
	}
	return address + "?" + more.Encode()
}

// pages reads a container page by page and gives its entries to take, which tells whether an entry is what it should
// be.
func (c *Client) pages(ctx context.Context, kind string, r *Registration, scope, address, accept string, take func(map[string]json.RawMessage) bool) error {
	c.warn(kind, r.Issuer, r.relaxed())
	a := authorized{client: c, registration: r, scope: scope}
	seen, entered := map[string]bool{}, 0
	for address != "" {
		if seen[address] || len(seen) >= maxPages {
			return &CallError{Outcome{State: Refused, Reason: "the pages have no end"}}
		}
		seen[address] = true
		started := time.Now()
		var got answer
		sent := 0
		outcome := c.retry.repeat(ctx, func(ctx context.Context, _ int) (end attempt) {
			sent++
			got, end = a.fetch(ctx, message{method: http.MethodGet, url: address, accept: accept}, maxPageBytes)
			return end
		})
		outcome.Attempts = sent
		c.note(kind, r.Issuer, started, outcome)
		if outcome.State != Delivered {
			return &CallError{outcome}
		}
		entries, ok := listOfObjects(got.body)
		if entered += len(entries); entered > maxEntries {
			return &CallError{Outcome{State: Refused, Status: outcome.Status, Reason: "there are more entries than this service reads"}}
		}
		for _, entry := range entries {
			ok = ok && take(entry)
		}
		if !ok {
			return &CallError{Outcome{State: Refused, Status: outcome.Status, Reason: "the answer is not what its media type says"}}
		}
		next := NextLink(got.header.Values("Link"), address)
		if next != "" && r.CheckLineItem(next) != nil {
			return &CallError{Outcome{State: Refused, Status: outcome.Status, Reason: "the next page is not on an agreed origin"}}
		}
		address = next
	}
	return nil
}

// listOfObjects reads a JSON list of objects under the rules of strictObject.
func listOfObjects(text []byte) ([]map[string]json.RawMessage, bool) {
	var raw []json.RawMessage
	if !strictValue(text) || json.Unmarshal(text, &raw) != nil || raw == nil {
		return nil, false
	}
	entries := make([]map[string]json.RawMessage, len(raw))
	for i, one := range raw {
		if json.Unmarshal(one, &entries[i]) != nil || entries[i] == nil {
			return nil, false
		}
	}
	return entries, true
}

// readResult takes the known members; others are passed over.
//
// Source: LTI Assignment and Grade Services 2.0, section 3.3.4.
func readResult(entry map[string]json.RawMessage) (Result, bool) {
	one := Result{Maximum: big.NewRat(1, 1)}
	var ok bool
	if one.UserID, ok = textMember(entry["userId"]); !ok || one.UserID == "" {
		return Result{}, false
	}
	one.ID, _ = textMember(entry["id"])
	one.Comment, _ = textMember(entry["comment"])
	one.ScoringUserID, _ = textMember(entry["scoringUserId"])
	if raw, stated := entry["resultMaximum"]; stated {
		if one.Maximum, ok = parseNumber(string(raw)); !ok || one.Maximum.Sign() <= 0 {
			return Result{}, false
		}
	}
	if raw, stated := entry["resultScore"]; stated && string(raw) != "null" {
		if one.Score, ok = parseNumber(string(raw)); !ok {
			return Result{}, false
		}
	}
	return one, true
}

func mediaType(header http.Header) string {
	kind, _, err := mime.ParseMediaType(header.Get("Content-Type"))
	if err != nil {
		return ""
	}
	return kind
}
