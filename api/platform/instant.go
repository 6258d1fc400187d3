package platform

import (
	"regexp"
	"time"
)

// instantLayout is how times are sent: UTC with exactly three digits after the second, a zero fraction included.
const instantLayout = "2006-01-02T15:04:05.000Z"

func formatInstant(at time.Time) string { return at.UTC().Format(instantLayout) }

// instantText is the permitted form of a time from outside: ISO 8601 date and time, a fraction of a second, a zone.
// A zone of whole hours may leave out its minutes. Source: LTI Assignment and Grade Services 2.0, sections 3.4.9 and
// 3.4.9.1.
var instantText = regexp.MustCompile(`^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{1,9}(?:Z|[+-]\d\d(?::\d\d)?)$`)

func parseInstant(text string) (time.Time, bool) {
	if !instantText.MatchString(text) {
		return time.Time{}, false
	}
	if sign := text[len(text)-3]; sign == '+' || sign == '-' {
		text += ":00"
	}
	at, err := time.Parse(time.RFC3339Nano, text)
	return at, err == nil
}
