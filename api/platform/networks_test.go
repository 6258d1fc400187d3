package platform

import (
	"context"
	"net"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestListsOfNetworks(t *testing.T) {
	for _, row := range []struct {
		text  string
		fault string // "" for a good one
	}{
		{"10.20.0.0/16", ""}, {"192.168.7.0/24", ""}, {"172.16.0.0/12", ""}, {"100.64.3.0/24", ""}, {"127.0.0.2/32", ""},
		{"fd12:3456::/32", ""}, {"::1/128", ""}, {"10.0.0.0/8", ""},
		{"10.20.0.1/16", "did you mean 10.20.0.0/16?"},
		{"10.20.0.0", "expected an address and a length"}, {"", "expected an address and a length"}, {"school", "expected an address and a length"},
		{"10.20.0.0/33", "expected an address and a length"}, {"fe80::%eth0/64", "expected an address and a length"},
		{"0.0.0.0/0", "not part of a private network"}, {"::/0", "not part of a private network"}, {"10.0.0.0/7", "not part of a private network"},
		{"169.254.0.0/16", "not part of a private network"}, {"169.254.169.254/32", "not part of a private network"},
		{"fe80::/10", "not part of a private network"}, {"224.0.0.0/4", "not part of a private network"}, {"0.0.0.0/8", "not part of a private network"},
		{"8.8.8.0/24", "not part of a private network"}, {"::ffff:10.0.0.0/104", "not part of a private network"}, {"2001:db8::/32", "not part of a private network"},
	} {
		networks, err := ParseNetworks([]string{"10.1.0.0/16", row.text})
		if row.fault == "" {
			assert.NoError(t, err, row.text)
			assert.Len(t, networks, 2)
			continue
		}
		assert.ErrorContains(t, err, "network 2: ", row.text)
		assert.ErrorContains(t, err, row.fault, row.text)
		assert.Nil(t, networks)
	}
}

// What is listed is open, its neighbours are not, and no list opens the rest.
func TestReachOfListedNetworks(t *testing.T) {
	networks, err := ParseNetworks([]string{"10.20.0.0/16", "fd12:3456::/32"})
	require.NoError(t, err)
	for text, want := range map[string]bool{
		"10.20.0.1": true, "10.20.255.254": true, "fd12:3456::7": true, "8.8.4.4": true, "2606:4700::1": true,
		"10.19.255.255": false, "10.21.0.0": false, "10.0.0.1": false, "192.168.7.7": false, "172.16.0.1": false,
		"127.0.0.1": false, "::1": false, "169.254.169.254": false, "100.64.0.1": false, "fd12:3457::7": false, "fe80::1": false,
		"::ffff:10.20.0.1": false, "64:ff9b::a14:1": false, "2002:a14:1::": false, "fd12:3456::7%eth0": false, "0.0.0.0": false,
	} {
		assert.Equal(t, want, reach{networks: networks}.allows(netip.MustParseAddr(text)), text)
	}
}

// A listed address of this machine answers; another one of this machine, also listening, gets no connection.
func TestCallsReachListedNetworksOnly(t *testing.T) {
	calls := map[string]*atomic.Int64{"127.0.0.2": {}, "127.0.0.3": {}}
	listen := func(address string) string {
		listener, err := net.Listen("tcp", address+":0")
		require.NoError(t, err)
		server := httptest.NewUnstartedServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { calls[address].Add(1) }))
		require.NoError(t, server.Listener.Close())
		server.Listener = listener
		server.Start()
		t.Cleanup(server.Close)
		return server.URL
	}
	school, neighbour := listen("127.0.0.2"), listen("127.0.0.3")
	networks, err := ParseNetworks([]string{"127.0.0.2/32"})
	require.NoError(t, err)
	client := NewHTTPClient(HTTPOptions{Networks: networks})
	for range 2 {
		answer, err := client.Get(school)
		require.NoError(t, err)
		require.NoError(t, answer.Body.Close())
		_, err = client.Get(neighbour)
		assert.ErrorIs(t, err, errAddress)
	}
	_, err = NewHTTPClient(HTTPOptions{}).Get(school)
	assert.ErrorIs(t, err, errAddress)
	assert.Equal(t, int64(2), calls["127.0.0.2"].Load())
	assert.Zero(t, calls["127.0.0.3"].Load())

	// The same holds for access tokens, scores and key sets.
	r := &Registration{
		Issuer: "https://circle.example", ClientID: "c", TokenURL: neighbour + "/token", TokenAudience: "a",
		LineItemOrigins: []string{school, neighbour}, Keys: someKeys(t), AllowPlainHTTP: true,
	}
	_, err = NewTokens(TokensOptions{Networks: networks}).Token(context.Background(), r, ScoreScope)
	assert.ErrorContains(t, err, "out of reach")
	r.TokenURL = school + "/token"
	_, err = NewTokens(TokensOptions{Networks: networks}).Token(context.Background(), r, ScoreScope)
	assert.ErrorContains(t, err, "not a token response", "it was reached")
	for address, reached := range map[string]bool{school: true, neighbour: false} {
		before := calls["127.0.0.2"].Load()
		verifier, err := NewVerifier([]IssuerConfig{{Issuer: "i", Audience: "a", KeySetURL: address + "/keys", AllowPlainHTTP: true}}, VerifierOptions{Networks: networks})
		require.NoError(t, err)
		token, err := r.Keys.Current().Sign("JWT", map[string]any{"iss": "i"})
		require.NoError(t, err)
		_, refusal := verifier.Verify(context.Background(), token)
		assert.Equal(t, RefusedKeysMissing, refusal.Code)
		assert.Equal(t, reached, calls["127.0.0.2"].Load() > before)
	}
	assert.Zero(t, calls["127.0.0.3"].Load())
}

func someKeys(t *testing.T) *KeySet {
	t.Helper()
	key, err := GenerateSigningKey(minRSABits)
	require.NoError(t, err)
	keys, err := NewKeySet(key)
	require.NoError(t, err)
	return keys
}
