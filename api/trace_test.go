package api

import (
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The cases are those of W3C Trace Context, Traceparent Header, and own ones beside them.
func TestTraceparentVectors(t *testing.T) {
	raw, err := os.ReadFile("testdata/http-fields.json")
	require.NoError(t, err)
	var file struct {
		Traceparent struct {
			Cases []struct {
				Value   string `json:"value"`
				Valid   bool   `json:"valid"`
				Sampled bool   `json:"sampled"`
			} `json:"cases"`
		} `json:"traceparent"`
	}
	require.NoError(t, json.Unmarshal(raw, &file))
	require.Len(t, file.Traceparent.Cases, 10)
	for _, c := range file.Traceparent.Cases {
		got, valid := parseTraceparent(c.Value)
		assert.Equal(t, c.Valid, valid, c.Value)
		fresh := continueTrace([]string{c.Value})
		assert.Len(t, fresh.span, 16)
		assert.Len(t, fresh.id, 32)
		if !c.Valid {
			assert.Empty(t, fresh.parent, "starts anew")
			continue
		}
		assert.Equal(t, c.Sampled, got.sampled, c.Value)
		assert.Equal(t, "4bf92f3577b34da6a3ce929d0e0e4736", fresh.id)
		assert.Equal(t, "00f067aa0ba902b7", fresh.parent)
		assert.NotEqual(t, fresh.parent, fresh.span)
	}
}

func TestATraceStartsAnewWhereTheHeaderIsMissingOrDouble(t *testing.T) {
	field := "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01"
	for _, fields := range [][]string{nil, {""}, {field, field}} {
		started := continueTrace(fields)
		assert.Empty(t, started.parent)
		assert.NotEqual(t, "4bf92f3577b34da6a3ce929d0e0e4736", started.id)
	}
}

func FuzzTraceparent(f *testing.F) {
	f.Add("00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01")
	f.Add("01-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01-extra")
	f.Fuzz(func(t *testing.T, field string) {
		got := continueTrace([]string{field})
		assert.True(t, lowerHex(got.id) && len(got.id) == 32 && lowerHex(got.parent) && len(got.span) == 16)
	})
}
