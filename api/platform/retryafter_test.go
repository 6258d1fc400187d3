package platform

import (
	"encoding/json"
	"net/http"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type retryAfterVectors struct {
	RetryAfter struct {
		Now   string `json:"now_http_date"`
		Cases []struct {
			Value string
			Wait  json.RawMessage `json:"wait_seconds"`
		}
	} `json:"retry_after"`
}

// Source: RFC 9110, section 10.2.3.
func TestRetryAfterVectors(t *testing.T) {
	var file retryAfterVectors
	vectors(t, "http-fields.json", &file)
	now, err := http.ParseTime(file.RetryAfter.Now)
	require.NoError(t, err)
	require.Len(t, file.RetryAfter.Cases, 9)
	for _, c := range file.RetryAfter.Cases {
		wait, said := ParseRetryAfter(c.Value, now)
		switch want := string(c.Wait); want {
		case "null":
			assert.False(t, said, "%q", c.Value)
			assert.Zero(t, wait)
		case `"cap"`:
			assert.True(t, said, "%q", c.Value)
			assert.Equal(t, MaxRetryAfter, wait)
		default:
			seconds, err := strconv.Atoi(want)
			require.NoError(t, err)
			assert.True(t, said, "%q", c.Value)
			assert.Equal(t, time.Duration(seconds)*time.Second, wait, "%q", c.Value)
		}
	}
	wait, said := ParseRetryAfter("Fri, 31 Dec 2999 23:59:59 GMT", now)
	assert.True(t, said)
	assert.Equal(t, MaxRetryAfter, wait)
}

func FuzzRetryAfter(f *testing.F) {
	var file retryAfterVectors
	vectors(f, "http-fields.json", &file)
	for _, c := range file.RetryAfter.Cases {
		f.Add(c.Value)
	}
	f.Add("Friday, 31-Dec-99 23:59:59 GMT")
	now := time.Date(1999, 12, 31, 23, 58, 59, 0, time.UTC)
	f.Fuzz(func(t *testing.T, value string) {
		wait, said := ParseRetryAfter(value, now)
		assert.True(t, wait >= 0 && wait <= MaxRetryAfter)
		assert.True(t, said || wait == 0)
	})
}
