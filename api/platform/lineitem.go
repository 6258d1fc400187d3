package platform

import (
	"fmt"
	"strings"
)

// ScoresURL is where scores for a line item are posted: "/scores" goes on the path, before the query; escapes and
// query stay as they are, and a slash at the end of the path is not doubled.
//
// Domain: an absolute http or https address in the one accepted spelling; whether it may be called is another check.
// Source: LTI Assignment and Grade Services 2.0, section 3.4.1 (the trailing slash is our reading).
func ScoresURL(lineItem string) (string, error) { return underLineItem(lineItem, "/scores") }

// ResultsURL is where results of a line item are read: as ScoresURL with "/results".
//
// Source: LTI Assignment and Grade Services 2.0, section 3.3.1.
func ResultsURL(lineItem string) (string, error) { return underLineItem(lineItem, "/results") }

func underLineItem(lineItem, suffix string) (string, error) {
	if _, err := parseTarget(lineItem, true); err != nil {
		return "", fmt.Errorf("line item: %w", err)
	}
	path, query, found := strings.Cut(lineItem, "?")
	path = strings.TrimSuffix(path, "/") + suffix
	if found {
		path += "?" + query
	}
	if len(path) > maxURL {
		return "", fmt.Errorf("line item: the address is longer than %d octets", maxURL)
	}
	return path, nil
}
