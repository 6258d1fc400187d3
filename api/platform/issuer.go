package platform

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"golang.org/x/time/rate"
)

// minShared is the shortest shared secret for HS256, in octets. Source: RFC 7518, section 3.2.
const minShared = 32

// IssuerConfig says which tokens of one issuer are good. Exactly one source of keys is set: KeySetURL, KeySet, or
// Shared. Zero durations take the defaults.
type IssuerConfig struct {
	Issuer   string // exact text of "iss"
	Audience string // exact text that "aud" is or holds: the name of this service

	KeySetURL string // where the issuer publishes its keys
	KeySet    []byte // its keys, pinned: a JWK set

	// Shared is a secret of at least 32 octets for HS256, and SharedKeyID the "kid" its tokens carry.
	Shared      []byte
	SharedKeyID string

	Algorithms  []string      // default RS256; HS256 with Shared, where nothing else is possible
	Types       []string      // permitted "typ", "" for absent; default JWT or absent
	Leeway      time.Duration // for clocks that differ; default 60 s, at most 5 min
	MaxAge      time.Duration // since "iat"; default 1 h
	MaxLifetime time.Duration // from "iat" to "exp"; default 1 h

	KeysFresh time.Duration // how long a read key set is not read again; default 10 min
	KeysKept  time.Duration // how long it serves while its address does not answer; default 12 h
	KeysGap   time.Duration // the shortest time between two readings; default 30 s

	// AllowPlainHTTP and AllowLoopback are for tests and the demo only.
	AllowPlainHTTP bool
	AllowLoopback  bool
}

// issuer is an IssuerConfig made ready.
type issuer struct {
	IssuerConfig
	keys keySource
}

func (c IssuerConfig) withDefaults() IssuerConfig {
	set := func(field *time.Duration, value time.Duration) {
		if *field == 0 {
			*field = value
		}
	}
	set(&c.Leeway, time.Minute)
	set(&c.MaxAge, time.Hour)
	set(&c.MaxLifetime, time.Hour)
	set(&c.KeysFresh, 10*time.Minute)
	set(&c.KeysKept, 12*time.Hour)
	set(&c.KeysGap, 30*time.Second)
	if len(c.Types) == 0 {
		c.Types = []string{"JWT", ""}
	}
	if len(c.Algorithms) == 0 {
		c.Algorithms = []string{"RS256"}
		if len(c.Shared) > 0 {
			c.Algorithms = []string{"HS256"}
		}
	}
	return c
}

// check refuses a configuration that could not be kept safe. Errors: name the field, never a secret.
func (c IssuerConfig) check() error {
	switch {
	case c.Issuer == "" || c.Audience == "":
		return errors.New("issuer or audience is empty")
	case c.Leeway < 0 || c.Leeway > 5*time.Minute:
		return errors.New("the leeway is not between 0 and 5 minutes")
	case c.MaxAge < 0 || c.MaxLifetime < 0 || c.KeysFresh < 0 || c.KeysKept < c.KeysFresh || c.KeysGap < 0:
		return errors.New("a duration is negative, or keys are kept for less time than they are fresh")
	}
	sources := 0
	for _, set := range []bool{c.KeySetURL != "", len(c.KeySet) > 0, len(c.Shared) > 0} {
		if set {
			sources++
		}
	}
	if sources != 1 {
		return errors.New("expected exactly one source of keys: an address, a pinned set, or a shared secret")
	}
	if len(c.Shared) > 0 {
		return c.checkShared()
	}
	for _, algorithm := range c.Algorithms {
		if !slices.Contains(asymmetric(), algorithm) {
			return errors.New("an algorithm is not one for public keys")
		}
	}
	return nil
}

func (c IssuerConfig) checkShared() error {
	switch {
	case len(c.Shared) < minShared:
		return fmt.Errorf("the shared secret has fewer than %d octets", minShared)
	case c.SharedKeyID == "" || len(c.SharedKeyID) > maxKeyID:
		return errors.New("the shared secret needs a key id")
	case !slices.Equal(c.Algorithms, []string{"HS256"}):
		return errors.New("a shared secret verifies HS256 and nothing else")
	}
	return nil
}

// source makes the one place where keys of this issuer come from.
func (c IssuerConfig) source(clock Clock, client *http.Client) (keySource, error) {
	switch {
	case len(c.Shared) > 0:
		return fixedKeys{c.SharedKeyID: {algorithm: "HS256", key: slices.Clone(c.Shared)}}, nil
	case len(c.KeySet) > 0:
		keys, err := parseKeys(c.KeySet, c.Algorithms)
		if err == nil && len(keys) == 0 {
			err = errors.New("the pinned key set holds no usable key")
		}
		return fixedKeys(keys), err
	}
	where, err := parseTarget(c.KeySetURL, c.AllowPlainHTTP)
	if err != nil {
		return nil, fmt.Errorf("key set: %w", err)
	}
	return &remoteKeys{
		url: where.raw, client: client, clock: clock, algorithms: c.Algorithms,
		fresh: c.KeysFresh, keep: c.KeysKept, gap: rate.NewLimiter(rate.Every(c.KeysGap), 1),
	}, nil
}

// takesType compares kinds of token as media types are compared. Source: RFC 7515, section 4.1.9.
func (c IssuerConfig) takesType(typ string) bool {
	short := func(t string) string { return strings.TrimPrefix(strings.ToLower(t), "application/") }
	return slices.ContainsFunc(c.Types, func(permitted string) bool { return short(permitted) == short(typ) })
}
