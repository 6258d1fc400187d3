package platform_test

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"math/big"
	"net"
	"net/http"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api/platform"
	"squaremark/api/platform/standin"
)

// certificate is a fresh self-signed one for this machine.
func certificate(t *testing.T) (tls.Certificate, *x509.CertPool) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	template := x509.Certificate{
		SerialNumber: big.NewInt(1), NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, IsCA: true, BasicConstraintsValid: true,
	}
	der, err := x509.CreateCertificate(rand.Reader, &template, &template, key.Public(), key)
	require.NoError(t, err)
	parsed, err := x509.ParseCertificate(der)
	require.NoError(t, err)
	pool := x509.NewCertPool()
	pool.AddCert(parsed)
	return tls.Certificate{Certificate: [][]byte{der}, PrivateKey: key}, pool
}

// Source: 1EdTech Security Framework 1.0, section 3: TLS 1.2 or newer.
func TestTLS(t *testing.T) {
	cert, pool := certificate(t)
	for _, row := range []struct {
		name    string
		highest uint16
		roots   *x509.CertPool
		want    platform.State
	}{
		{"tls-1.3", tls.VersionTLS13, pool, platform.Delivered},
		{"tls-1.2", tls.VersionTLS12, pool, platform.Delivered},
		{"tls-1.1", tls.VersionTLS11, pool, platform.Retry},
		{"unknown-authority", tls.VersionTLS13, nil, platform.Retry},
	} {
		t.Run(row.name, func(t *testing.T) {
			c := open(t, standin.Config{TLS: &tls.Config{Certificates: []tls.Certificate{cert}, MinVersion: tls.VersionTLS10, MaxVersion: row.highest}},
				platform.ClientOptions{RootCAs: row.roots})
			assert.False(t, c.registration.AllowPlainHTTP)
			assert.Equal(t, row.want, c.post(t, c.mark("p-07c2", 5, 9)).State)
		})
	}
}

func TestSilentTLSIsCutOff(t *testing.T) {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, listener.Close()) })
	c := open(t, standin.Config{}, platform.ClientOptions{Limits: platform.Limits{TLS: 100 * time.Millisecond}, Retry: platform.RetryPolicy{Attempts: 1}})
	c.registration.TokenURL = "https://" + listener.Addr().String() + "/token"
	started := time.Now()
	outcome := c.post(t, c.mark("p-07c2", 5, 9))
	assert.Equal(t, platform.Retry, outcome.State)
	assert.Contains(t, outcome.Reason, "in time")
	assert.Less(t, time.Since(started), 2*time.Second)
}

// Nothing from the environment steers outgoing calls, and nothing is remembered between them.
func TestClientsAreBare(t *testing.T) {
	client := platform.NewHTTPClient(platform.HTTPOptions{})
	transport := client.Transport.(*http.Transport)
	assert.Nil(t, transport.Proxy)
	assert.Nil(t, client.Jar)
	assert.Equal(t, uint16(tls.VersionTLS12), transport.TLSClientConfig.MinVersion)
	assert.False(t, transport.TLSClientConfig.InsecureSkipVerify)
	for _, limit := range []time.Duration{client.Timeout, transport.TLSHandshakeTimeout, transport.ResponseHeaderTimeout, transport.IdleConnTimeout} {
		assert.Positive(t, limit, "there is no for ever")
	}
}
