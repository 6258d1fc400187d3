package platform

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Cases after RFC 8288, section 3.
func TestLinkVectors(t *testing.T) {
	var file struct {
		Link struct {
			Request string `json:"request_url"`
			Cases   []struct {
				Value string
				Next  string // null: none
			}
		} `json:"link_next"`
	}
	vectors(t, "http-fields.json", &file)
	require.Len(t, file.Link.Cases, 8)
	for _, c := range file.Link.Cases {
		assert.Equal(t, c.Next, NextLink([]string{c.Value}, file.Link.Request), c.Value)
	}
}

func TestFurtherLinks(t *testing.T) {
	const asked = "https://platform.example/ctx/9/items?limit=2"
	for _, row := range []struct {
		fields []string
		next   string
	}{
		{nil, ""},
		{[]string{""}, ""},
		{[]string{`<https://platform.example/a>; rel="prev"`, `<https://platform.example/b>; rel="next"`}, "https://platform.example/b"},
		{[]string{`</b>;REL=NEXT`}, "https://platform.example/b"},
		{[]string{`<b?p=3>; title="a \"quoted\" > , <x>; rel=next"; rel=next`}, "https://platform.example/ctx/9/b?p=3"},
		{[]string{`<a>; flag; rel=next`}, "https://platform.example/ctx/9/a"},
		{[]string{`<a>; rel=next, <b>; rel=next`}, "https://platform.example/ctx/9/a"},
		{[]string{`<a>; rel=nextly`}, ""},
		{[]string{`<a>; rev=next`}, ""},
		{[]string{`<a`}, ""},
		{[]string{`a; rel=next`}, ""},
		{[]string{`<a>; rel="next`}, "https://platform.example/ctx/9/a"},
		{[]string{`<http://[::1>; rel=next`}, ""},
	} {
		assert.Equal(t, row.next, NextLink(row.fields, asked), "%q", row.fields)
	}
}

func FuzzNextLink(f *testing.F) {
	f.Add(`<https://platform.example/a,b;c>; title="x, rel=next"; rel="next"`)
	f.Add(`<?p=2>; rel=next, <x>`)
	f.Fuzz(func(t *testing.T, field string) {
		NextLink([]string{field, field}, "https://platform.example/items")
	})
}
