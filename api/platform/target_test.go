package platform

import (
	"net/netip"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestTargets(t *testing.T) {
	for _, row := range []struct {
		raw    string
		origin string // "" when refused
	}{
		{"https://courses.example/items/31", "https://courses.example"},
		{"https://courses.example", "https://courses.example"},
		{"https://courses.example:8443/items?x=%20y", "https://courses.example:8443"},
		{"https://courses.example/items/a%2Fb", "https://courses.example"},
		{"https://[2606:4700::1]/items", "https://[2606:4700::1]"},
		{"https://xn--kreis-hua.example/", "https://xn--kreis-hua.example"},
		{"http://courses.example/items", ""},
		{"HTTPS://courses.example/items", ""},
		{"https://Courses.example/items", ""},
		{"https://courses.example./items", ""},
		{"https://courses.example:443/items", ""},
		{"https://courses.example:/items", ""},
		{"https://courses.example:08443/items", ""},
		{"https://courses.example:99999/items", ""},
		{"https://teacher@courses.example/items", ""},
		{"https://courses.example@other.example/items", ""},
		{"https://courses.example\\@other.example/items", ""},
		{"https://courses.example/items#part", ""},
		{"https://courses.example/a/../items", ""},
		{"https://courses.example/a/%2e%2E/items", ""},
		{"https://courses.example/a%5c..%5citems", ""},
		{"https://courses%2eexample/items", ""},
		{"https://courses.еxample/items", ""}, // a Cyrillic letter
		{"https://courses.example/item s", ""},
		{"https://courses.example/item\ns", ""},
		{"https://-courses.example/", ""},
		{"https://courses..example/", ""},
		{"https:///items", ""},
		{"https:courses.example", ""},
		{"//courses.example/items", ""},
		{"/items", ""},
		{"", ""},
		{"https://[fe80::1%25eth0]/", ""},
		{"https://[2606:4700:0::1]/", ""},
		{"ftp://courses.example/", ""},
		{"https://courses.example/" + strings.Repeat("x", maxURL), ""},
	} {
		parsed, err := parseTarget(row.raw, false)
		assert.Equal(t, row.origin == "", err != nil, "%q: %v", row.raw, err)
		assert.Equal(t, row.origin, parsed.origin, "%q", row.raw)
	}
	parsed, err := parseTarget("http://127.0.0.1:8081/token", true)
	assert.NoError(t, err)
	assert.Equal(t, "http://127.0.0.1:8081", parsed.origin)
}

func TestLineItemOrigins(t *testing.T) {
	r := Registration{LineItemOrigins: []string{"https://courses.example", "https://grades.example:8443"}}
	for lineItem, permitted := range map[string]bool{
		"https://courses.example/items/31":        true,
		"https://grades.example:8443/items/31":    true,
		"https://grades.example/items/31":         false,
		"https://courses.example:8443/items/31":   false,
		"https://courses.example.evil.test/items": false,
		"https://evilcourses.example/items":       false,
		"https://courses.example@evil.test/items": false,
		"http://courses.example/items":            false,
	} {
		assert.Equal(t, permitted, r.CheckLineItem(lineItem) == nil, lineItem)
	}
}

func TestScoreAndResultURLs(t *testing.T) {
	var file struct {
		Derivation struct {
			Cases []struct {
				LineItem string `json:"line_item"`
				Scores   string
				Results  string
			}
		} `json:"url_derivation"`
	}
	vectors(t, "ags-score.json", &file)
	assert.Len(t, file.Derivation.Cases, 5)
	for _, c := range file.Derivation.Cases {
		scores, err := ScoresURL(c.LineItem)
		assert.NoError(t, err)
		assert.Equal(t, c.Scores, scores)
		results, err := ResultsURL(c.LineItem)
		assert.NoError(t, err)
		assert.Equal(t, c.Results, results)
	}
	_, err := ScoresURL("https://courses.example/items/31#x")
	assert.Error(t, err)
	_, err = ScoresURL("https://courses.example/" + strings.Repeat("x", maxURL-25))
	assert.Error(t, err)
}

// Ranges from memory of the registries of RFC 6890.
func TestReachableAddresses(t *testing.T) {
	for text, want := range map[string]bool{
		"1.1.1.1": true, "8.8.4.4": true, "100.63.255.255": true, "100.128.0.0": true, "172.32.0.1": true, "223.255.255.254": true,
		"2606:4700::1": true, "2a00:1450::5": true,
		"127.0.0.1": false, "127.9.9.9": false, "0.0.0.0": false, "0.1.2.3": false, "10.1.2.3": false, "100.64.0.1": false,
		"100.127.255.255": false, "169.254.169.254": false, "172.16.0.1": false, "172.31.255.255": false, "192.168.7.7": false,
		"192.0.0.1": false, "192.0.2.1": false, "198.18.0.1": false, "198.51.100.1": false, "203.0.113.9": false,
		"224.0.0.1": false, "239.1.1.1": false, "240.0.0.1": false, "255.255.255.255": false,
		"::": false, "::1": false, "::10.0.0.1": false, "::ffff:10.0.0.1": false, "::ffff:127.0.0.1": false, "::ffff:1.1.1.1": false,
		"64:ff9b::a00:1": false, "64:ff9b:1::1": false, "100::1": false, "2001::1": false, "2001:db8::1": false,
		"2002:a00:1::": false, "3fff::1": false, "fc00::1": false, "fd12::1": false, "fe80::1": false, "fe80::1%eth0": false,
		"fec0::1": false, "ff02::1": false, "2606:4700::1%eth0": false,
	} {
		assert.Equal(t, want, reach{}.allows(netip.MustParseAddr(text)), text)
	}
	assert.True(t, reach{loopback: true}.allows(netip.MustParseAddr("127.0.0.1")))
	assert.True(t, reach{loopback: true}.allows(netip.MustParseAddr("::1")))
	assert.False(t, reach{loopback: true}.allows(netip.MustParseAddr("10.1.2.3")), "the switch opens loopback only")
	assert.False(t, reach{loopback: true}.allows(netip.MustParseAddr("::ffff:127.0.0.1")))
	assert.False(t, reach{loopback: true}.allows(netip.MustParseAddr("::1%lo")))
	assert.False(t, reach{loopback: true}.allows(netip.Addr{}))
}

func TestDialerLooksAtTheResolvedAddress(t *testing.T) {
	for _, address := range []string{"localhost:9", "127.0.0.1:9", "[::1]:9", "0.0.0.0:9", "10.255.255.1:9", "169.254.169.254:80"} {
		_, err := NewDialer(0, false).Dial("tcp", address)
		assert.ErrorIs(t, err, errAddress, address)
	}
}
