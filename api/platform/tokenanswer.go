package platform

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"
)

const (
	maxTokenAnswer = 64 << 10
	maxToken       = 16 << 10
	// briefTokenLife is assumed when the answer names no life.
	briefTokenLife = 30 * time.Second
	maxTokenLife   = 24 * time.Hour
)

// TokenError says why no access token could be had.
//
// Retryable: passing trouble, trying later makes sense; otherwise registration or configuration is at fault.
// The text is this package's own and holds nothing of the platform's answer.
type TokenError struct {
	Reason     string
	Status     int // 0 when there was no answer
	Retryable  bool
	RetryAfter time.Duration
}

// Error is the reason, with the status when there was an answer.
func (e *TokenError) Error() string {
	if e.Status == 0 {
		return "access token: " + e.Reason
	}
	return fmt.Sprintf("access token: %s (status %d)", e.Reason, e.Status)
}

// grantedToken is a usable token and its life, both as the endpoint stated them.
type grantedToken struct {
	text string
	life time.Duration
}

// readTokenAnswer decides on the answer of a token endpoint.
//
// Source: RFC 6749, sections 3.3, 5.1 and 5.2; 1EdTech Security Framework 1.0, sections 4.1 and 7.1.
func readTokenAnswer(status int, retryAfter time.Duration, body []byte, scopes []string) (grantedToken, *TokenError) {
	if status < 200 || status > 299 {
		return grantedToken{}, refusedToken(status, retryAfter, body)
	}
	token, err := parseToken(body, scopes)
	if err != nil {
		return grantedToken{}, &TokenError{Reason: err.Error(), Status: status}
	}
	return token, nil
}

func refusedToken(status int, retryAfter time.Duration, body []byte) *TokenError {
	e := &TokenError{Status: status}
	switch {
	case status == http.StatusTooManyRequests || status >= 500:
		e.Retryable, e.RetryAfter = true, retryAfter
		e.Reason = "the token endpoint is in passing trouble"
	case status >= 300 && status < 400:
		e.Reason = "the token endpoint answered with a redirect, which is never followed"
	default:
		e.Reason = refusalInOurWords(body)
	}
	return e
}

// refusalInOurWords maps the error codes of RFC 6749, section 5.2.
func refusalInOurWords(body []byte) string {
	members, err := strictObject(body)
	if err != nil {
		return "the token endpoint refused the request"
	}
	code, _ := textMember(members["error"])
	switch code {
	case "invalid_client":
		return "the token endpoint did not accept our assertion: check client id, audience and published keys"
	case "invalid_scope":
		return "the token endpoint does not grant the scope that posting scores needs"
	case "unauthorized_client":
		return "the platform does not let this client ask for tokens"
	case "invalid_grant", "unsupported_grant_type":
		return "the token endpoint does not offer the client-credentials grant to us"
	case "invalid_request":
		return "the token endpoint called the request malformed"
	}
	return "the token endpoint refused the request"
}

func parseToken(body []byte, scopes []string) (grantedToken, error) {
	members, err := strictObject(body)
	if err != nil {
		return grantedToken{}, errors.New("the answer of the token endpoint is not a token response")
	}
	text, ok := textMember(members["access_token"])
	if !ok || text == "" {
		return grantedToken{}, errors.New("the token endpoint granted an empty token")
	}
	if len(text) > maxToken || !printableASCII(text) || strings.ContainsRune(text, ' ') {
		return grantedToken{}, errors.New("the token endpoint granted a token that cannot be sent in a header")
	}
	if kind, _ := textMember(members["token_type"]); !strings.EqualFold(kind, "Bearer") {
		return grantedToken{}, errors.New("the token endpoint granted another type of token than Bearer")
	}
	if raw, stated := members["scope"]; stated {
		granted, ok := textMember(raw)
		if !ok || !holdsAll(strings.Fields(granted), scopes) {
			return grantedToken{}, errors.New("the token endpoint granted less than the scope we need")
		}
	}
	return grantedToken{text: text, life: tokenLife(members["expires_in"])}, nil
}

func holdsAll(granted, wanted []string) bool {
	for _, scope := range wanted {
		if !slices.Contains(granted, scope) {
			return false
		}
	}
	return true
}

// tokenLife reads the seconds a token is good for: unstated or unreadable means a brief life, nothing above a day is
// believed, and zero or less means that the token is not kept.
func tokenLife(raw json.RawMessage) time.Duration {
	seconds, err := strconv.ParseFloat(string(raw), 64)
	if err != nil {
		return briefTokenLife
	}
	if seconds <= 0 {
		return 0
	}
	return time.Duration(min(seconds, maxTokenLife.Seconds()) * float64(time.Second))
}
