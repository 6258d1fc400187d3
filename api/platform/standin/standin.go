// Package standin is an invented course platform for tests and for the demo: a real HTTP server on this machine, with
// its own keys, that mints the tokens a platform calls the service with, grants access tokens against signed
// assertions, keeps a gradebook fed by score messages, and receives webhooks. It checks strictly and can be told to
// misbehave.
//
// Not covered: launches, changing line items, and anything that outlives the process.
//
// Where things are: configuration and start in standin.go, tokens for the service in mint.go, the token endpoint in
// grant.go, line items, scores and results in lineitems.go, scores.go and results.go, the gradebook in gradebook.go, webhooks in hooks.go,
// faults in faults.go, the record of requests in seen.go.
package standin

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"strconv"
	"sync"
	"time"

	"squaremark/api/platform"
)

// keyBits is the size of the platform's own keys; the smallest that is allowed, because they live for minutes.
const keyBits = 2048

// Config describes the platform. The zero value of every field but the tool's keys has a default.
type Config struct {
	Port         int    // on 127.0.0.1; 0 takes a free one
	Issuer       string // default: the server's URL
	ClientID     string // what the platform calls the service; default "client-circle"
	DeploymentID string // demanded in assertions when set

	// ToolKeySetURL or ToolKeySet says where the service's public keys are. Without either, no token is granted.
	ToolKeySetURL string
	ToolKeySet    []byte

	TokenAudience  string               // demanded in assertions; default: the token URL
	TokenLife      time.Duration        // of granted access tokens; default 1 h
	GrantScopes    []string             // what may be granted; default: the score scope
	ToolAudience   string               // "aud" of minted tokens; default "squaremark"
	PageSize       int                  // the most entries of one page of a container; default 50
	WebhookSecrets []platform.Secret    // what received webhooks are checked with
	TLS            *tls.Config          // with a certificate: the server speaks https
	Key            *platform.SigningKey // the platform's own; default: a fresh one
	Clock          platform.Clock       // default: the system's
}

// Platform is a running stand-in. Safe for concurrent use.
type Platform struct {
	config   Config
	url      string
	server   *http.Server
	closing  chan struct{}
	close    sync.Once
	checker  *platform.Verifier // nil without keys of the tool
	endpoint map[Endpoint]*state

	mu       sync.Mutex
	keys     *platform.KeySet
	granted  map[string]grant
	replayed map[string]time.Time // assertion ids already seen, until they expire
	items    []LineItem
	book     map[cell]Entry
	hooks    []Received
	hookIDs  map[string]bool
}

// Start makes the keys and serves until Close.
func Start(config Config) (*Platform, error) {
	if config.Key == nil {
		key, err := platform.GenerateSigningKey(keyBits)
		if err != nil {
			return nil, err
		}
		config.Key = key
	}
	keys, err := platform.NewKeySet(config.Key)
	if err != nil {
		return nil, err
	}
	listener, err := net.Listen("tcp", "127.0.0.1:"+strconv.Itoa(config.Port))
	if err != nil {
		return nil, fmt.Errorf("stand-in: %w", err)
	}
	scheme := "http"
	if config.TLS != nil {
		scheme = "https"
		listener = tls.NewListener(listener, config.TLS)
	}
	p := &Platform{
		url:      scheme + "://" + listener.Addr().String(),
		closing:  make(chan struct{}),
		endpoint: map[Endpoint]*state{},
		keys:     keys,
		granted:  map[string]grant{},
		replayed: map[string]time.Time{},
		book:     map[cell]Entry{},
		hookIDs:  map[string]bool{},
	}
	p.config = config.withDefaults(p.url)
	if p.checker, err = p.config.assertionChecker(); err != nil {
		return nil, errors.Join(err, listener.Close())
	}
	p.server = &http.Server{
		Handler:           p.routes(),
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       30 * time.Second,
		ErrorLog:          log.New(io.Discard, "", 0),
	}
	go func() {
		// Serve always ends with an error; after Close it is the expected one, and before there is nobody to tell.
		_ = p.server.Serve(listener)
	}()
	return p, nil
}

func (c Config) withDefaults(url string) Config {
	set := func(field *string, value string) {
		if *field == "" {
			*field = value
		}
	}
	set(&c.Issuer, url)
	set(&c.ClientID, "client-circle")
	set(&c.TokenAudience, url+"/token")
	set(&c.ToolAudience, "squaremark")
	if c.TokenLife <= 0 {
		c.TokenLife = time.Hour
	}
	if c.PageSize <= 0 {
		c.PageSize = 50
	}
	if len(c.GrantScopes) == 0 {
		c.GrantScopes = []string{platform.ScoreScope}
	}
	if c.Clock == nil {
		c.Clock = time.Now
	}
	return c
}

// Close stops serving at once.
func (p *Platform) Close() error {
	p.close.Do(func() { close(p.closing) })
	ctx, cancel := context.WithTimeout(context.Background(), time.Second)
	defer cancel()
	if err := p.server.Shutdown(ctx); err != nil {
		return p.server.Close()
	}
	return nil
}

// URL is the origin of the server.
func (p *Platform) URL() string { return p.url }

// HookURL is where the platform receives webhooks.
func (p *Platform) HookURL() string { return p.url + "/hooks" }

// Registration is what the service needs to post scores here, signing with the given keys.
func (p *Platform) Registration(keys *platform.KeySet) *platform.Registration {
	return &platform.Registration{
		Issuer: p.config.Issuer, ClientID: p.config.ClientID, DeploymentID: p.config.DeploymentID,
		TokenURL: p.url + "/token", TokenAudience: p.config.TokenAudience,
		LineItemOrigins: []string{p.url}, Keys: keys,
		AllowPlainHTTP: p.config.TLS == nil, AllowLoopback: true,
	}
}

// IssuerConfig is what the service needs to check tokens minted here.
func (p *Platform) IssuerConfig() platform.IssuerConfig {
	return platform.IssuerConfig{
		Issuer: p.config.Issuer, Audience: p.config.ToolAudience, KeySetURL: p.url + "/jwks",
		AllowPlainHTTP: p.config.TLS == nil, AllowLoopback: true,
	}
}

func (p *Platform) routes() http.Handler {
	mux := http.NewServeMux()
	mux.Handle("POST /token", p.at(TokenEndpoint, p.serveToken))
	mux.Handle("GET /jwks", p.at(KeysEndpoint, p.serveKeys))
	mux.Handle("GET /items", p.at(ItemsEndpoint, p.serveItems))
	mux.Handle("POST /items", p.at(ItemsEndpoint, p.createItem))
	mux.Handle("GET /items/{id}", p.at(ItemsEndpoint, p.serveItem))
	mux.Handle("GET /items/{id}/results", p.at(ResultsEndpoint, p.serveResults))
	mux.Handle("POST /items/{id}/scores", p.at(ScoresEndpoint, p.serveScore))
	mux.Handle("POST /hooks", p.at(HooksEndpoint, p.serveHook))
	return mux
}
