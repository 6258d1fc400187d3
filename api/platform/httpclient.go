package platform

import (
	"crypto/tls"
	"crypto/x509"
	"net/http"
	"net/netip"
	"time"
)

// Limits are the time limits of one outgoing call. A zero field takes the default; there is no "for ever".
type Limits struct {
	Connect time.Duration // name look-up and connection; default 5 s
	TLS     time.Duration // handshake; default 5 s
	Header  time.Duration // from the end of the request to the answer's header; default 10 s
	Total   time.Duration // the whole call, body included; default 15 s
}

func (l Limits) withDefaults() Limits {
	set := func(field *time.Duration, value time.Duration) {
		if *field <= 0 {
			*field = value
		}
	}
	set(&l.Connect, 5*time.Second)
	set(&l.TLS, 5*time.Second)
	set(&l.Header, 10*time.Second)
	set(&l.Total, 15*time.Second)
	return l
}

// HTTPOptions say how to build an HTTP client.
type HTTPOptions struct {
	Limits Limits
	// AllowLoopback lets calls reach this machine. For tests and the demo only.
	AllowLoopback bool
	// Networks are private networks that calls may reach, from [ParseNetworks].
	Networks []netip.Prefix
	// RootCAs replaces the system's certificate authorities when set.
	RootCAs *x509.CertPool
}

// NewHTTPClient makes a client for calls to outside hosts: no redirects (the 3xx answer itself is returned), no
// cookies, no proxy from the environment, TLS 1.2 or newer, a time limit at each stage, few idle connections, no
// transparent decompression, and the address check of [NewDialer].
//
// Source: 1EdTech Security Framework 1.0, section 3; OWASP ASVS 5.0, V13.2.6, V15.3.2.
func NewHTTPClient(o HTTPOptions) *http.Client {
	limits := o.Limits.withDefaults()
	return &http.Client{
		Timeout:       limits.Total,
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
		Transport: &http.Transport{
			Proxy:                  nil,
			DialContext:            NewDialer(limits.Connect, o.AllowLoopback, o.Networks...).DialContext,
			TLSClientConfig:        &tls.Config{MinVersion: tls.VersionTLS12, RootCAs: o.RootCAs},
			TLSHandshakeTimeout:    limits.TLS,
			ResponseHeaderTimeout:  limits.Header,
			ExpectContinueTimeout:  time.Second,
			IdleConnTimeout:        time.Minute,
			MaxIdleConns:           64,
			MaxIdleConnsPerHost:    8,
			MaxConnsPerHost:        64,
			MaxResponseHeaderBytes: 64 << 10,
			DisableCompression:     true,
			ForceAttemptHTTP2:      true,
		},
	}
}

// clients is a pair of HTTP clients. They never share connections, so a connection to this machine that a test
// registration opened is never reused for any other.
type clients struct{ public, loopback *http.Client }

func newClients(limits Limits, roots *x509.CertPool, networks []netip.Prefix) clients {
	return clients{
		public:   NewHTTPClient(HTTPOptions{Limits: limits, RootCAs: roots, Networks: networks}),
		loopback: NewHTTPClient(HTTPOptions{Limits: limits, RootCAs: roots, Networks: networks, AllowLoopback: true}),
	}
}

func (c clients) pick(allowLoopback bool) *http.Client {
	if allowLoopback {
		return c.loopback
	}
	return c.public
}
