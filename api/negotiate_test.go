package api

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Source of the rules: RFC 9110, section 12.5.1.
func TestAcceptable(t *testing.T) {
	for accept, want := range map[string]bool{
		"*/*":                                  true,
		"application/*":                        true,
		"application/health+json":              true,
		"Application/Health+JSON":              true,
		"application/json":                     true,
		"text/html, */*;q=0.1":                 true,
		"text/html,application/json;q=0.001":   true,
		"application/health+json;q=0":          false,
		"text/*":                               false,
		"text/html":                            false,
		"application/json2":                    false,
		"nonsense":                             false,
		"":                                     false,
		"text/html;q=1, application/xml;q=0.9": false,
	} {
		assert.Equal(t, want, acceptable(http.Header{"Accept": {accept}}, []string{"application/health+json"}), accept)
	}
	assert.True(t, acceptable(http.Header{}, []string{"application/health+json"}))
	assert.True(t, acceptable(http.Header{"Accept": {"text/html", "application/json"}}, []string{"application/json"}))
}
