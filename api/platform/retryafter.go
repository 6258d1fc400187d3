package platform

import (
	"net/http"
	"strconv"
	"time"
)

// MaxRetryAfter is the longest wait believed from a Retry-After header.
const MaxRetryAfter = time.Hour

// ParseRetryAfter reads a Retry-After header: whole seconds, or an HTTP date, seen from now. Waits are between zero
// and [MaxRetryAfter]; digits beyond any number are the longest wait. False when the value says nothing.
//
// Source: RFC 9110, section 10.2.3.
func ParseRetryAfter(value string, now time.Time) (time.Duration, bool) {
	if value == "" || len(value) > 64 {
		return 0, false
	}
	if allDigits(value) {
		seconds, err := strconv.ParseInt(value, 10, 64)
		if err != nil || seconds > int64(MaxRetryAfter/time.Second) {
			return MaxRetryAfter, true
		}
		return time.Duration(seconds) * time.Second, true
	}
	at, err := http.ParseTime(value)
	if err != nil {
		return 0, false
	}
	return min(max(at.Sub(now), 0), MaxRetryAfter), true
}

func allDigits(text string) bool {
	for i := 0; i < len(text); i++ {
		if text[i] < '0' || text[i] > '9' {
			return false
		}
	}
	return text != ""
}
