package platform

import (
	"encoding/json"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Caller is who a good bearer token speaks for.
type Caller struct {
	Issuer    string
	Subject   string // 1 to 255 ASCII characters, the platform's own id
	Audience  []string
	Scopes    []string // from the "scope" claim
	TokenID   string   // "jti", "" when absent
	KeyID     string
	IssuedAt  time.Time
	ExpiresAt time.Time
	Claims    map[string]json.RawMessage // all claims, as received
}

// HasScope tells whether the token carries this right.
func (c *Caller) HasScope(scope string) bool {
	return slices.Contains(c.Scopes, scope)
}

// Text is a further claim that must be a text; "" when it is absent or something else.
func (c *Caller) Text(name string) string {
	text, _ := textMember(c.Claims[name])
	return text
}

// readCaller takes the claims a caller is made of. Times are JSON numbers, fractions allowed.
//
// Source: RFC 7519, sections 2 and 4.1; 1EdTech Security Framework 1.0, section 5.1.2 (subject).
func readCaller(parts unverified) (*Caller, *Refusal) {
	claims := parts.claims
	c := &Caller{Claims: claims, KeyID: parts.header.keyID}
	var ok bool
	if c.Issuer, ok = textMember(claims["iss"]); !ok {
		return nil, refuse(RefusedIssuer)
	}
	if c.Subject, ok = textMember(claims["sub"]); !ok || !goodSubject(c.Subject) {
		return nil, refuse(RefusedSubject)
	}
	if c.Audience, ok = textOrList(claims["aud"]); !ok {
		return nil, refuse(RefusedAudience)
	}
	issued, okIssued := numericDate(claims["iat"])
	expires, okExpires := numericDate(claims["exp"])
	if !okIssued || !okExpires {
		return nil, refuse(RefusedClaims)
	}
	c.IssuedAt, c.ExpiresAt = issued, expires
	if raw, stated := claims["nbf"]; stated {
		if _, ok := numericDate(raw); !ok {
			return nil, refuse(RefusedClaims)
		}
	}
	scope, okScope := optionalText(claims, "scope")
	id, okID := optionalText(claims, "jti")
	if !okScope || !okID {
		return nil, refuse(RefusedClaims)
	}
	c.Scopes, c.TokenID = strings.Fields(scope), id
	return c, nil
}

func optionalText(claims map[string]json.RawMessage, name string) (string, bool) {
	raw, stated := claims[name]
	if !stated {
		return "", true
	}
	return textMember(raw)
}

func goodSubject(subject string) bool {
	return strings.TrimSpace(subject) != "" && len(subject) <= maxUserID && printableASCII(subject)
}

func textOrList(raw json.RawMessage) ([]string, bool) {
	if text, ok := textMember(raw); ok {
		return []string{text}, true
	}
	var entries []json.RawMessage
	if json.Unmarshal(raw, &entries) != nil || len(entries) == 0 {
		return nil, false
	}
	list := make([]string, len(entries))
	for i, entry := range entries {
		var ok bool
		if list[i], ok = textMember(entry); !ok {
			return nil, false
		}
	}
	return list, true
}

// numericDate reads seconds since 1970. Domain: the years 1970 to 9999.
func numericDate(raw json.RawMessage) (time.Time, bool) {
	if len(raw) == 0 || raw[0] < '0' || raw[0] > '9' {
		return time.Time{}, false
	}
	seconds, err := strconv.ParseFloat(string(raw), 64)
	if err != nil || seconds > 253402300799 {
		return time.Time{}, false
	}
	whole, fraction := math.Modf(seconds)
	return time.Unix(int64(whole), int64(fraction*1e9)), true
}
