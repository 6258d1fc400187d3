package platform

import (
	"context"
	"errors"
	"io"
	"net/http"
	"sync"
	"time"

	"golang.org/x/sync/singleflight"
	"golang.org/x/time/rate"
)

// maxKeySetBytes bounds a key set from outside.
const maxKeySetBytes = 256 << 10

var (
	errKeyUnknown  = errors.New("no such key")
	errKeysMissing = errors.New("keys cannot be had")
)

// keySource finds a key by its identifier: exact text, a map look-up, nothing else.
type keySource interface {
	find(ctx context.Context, keyID string) (verifyKey, error)
}

// fixedKeys are keys of the configuration.
type fixedKeys map[string]verifyKey

func (k fixedKeys) find(_ context.Context, keyID string) (verifyKey, error) {
	key, ok := k[keyID]
	if !ok {
		return verifyKey{}, errKeyUnknown
	}
	return key, nil
}

// remoteKeys are the keys at a platform's key-set address. They count as fresh for a while; after that the next token
// reads them again. A key that is not in the set makes it be read again too, but never more often than once per gap,
// whatever strangers send. When the address does not answer, the last set serves until its time is up; then tokens
// can no longer be judged.
//
// The key-set client of the jwkset library is not used: one odd key makes it drop the whole set, its reading is
// unbounded, and it keeps old keys for ever.
//
// Source: 1EdTech Security Framework 1.0, sections 6.3 and 6.4; times and gap are our choice.
type remoteKeys struct {
	url        string
	client     *http.Client
	clock      Clock
	algorithms []string
	fresh      time.Duration
	keep       time.Duration
	gap        *rate.Limiter
	flight     singleflight.Group

	mu   sync.Mutex
	keys map[string]verifyKey
	read time.Time // when the keys were read; zero: never
}

func (r *remoteKeys) find(ctx context.Context, keyID string) (verifyKey, error) {
	key, found, age := r.look(keyID)
	switch {
	case found && age < r.fresh:
		return key, nil
	case found && age < r.keep:
		// One caller per gap reads again; everyone else goes on with the key at hand.
		if r.gap.AllowN(r.clock.now(), 1) {
			r.share(ctx, func() error { return r.readAgain(ctx) })
		}
	default:
		r.share(ctx, func() error {
			if !r.gap.AllowN(r.clock.now(), 1) {
				return errKeysMissing
			}
			return r.readAgain(ctx)
		})
	}
	key, found, age = r.look(keyID)
	switch {
	case age >= r.keep:
		return verifyKey{}, errKeysMissing
	case !found:
		return verifyKey{}, errKeyUnknown
	}
	return key, nil
}

// share runs one reading for everyone who waits for it, at most until the caller's context ends.
func (r *remoteKeys) share(ctx context.Context, read func() error) {
	done := r.flight.DoChan("", func() (any, error) { return nil, read() })
	select {
	case <-ctx.Done():
	case <-done:
	}
}

// look is the state of the cache; keys that were never read are older than any limit.
func (r *remoteKeys) look(keyID string) (key verifyKey, found bool, age time.Duration) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.read.IsZero() {
		return verifyKey{}, false, r.keep
	}
	key, found = r.keys[keyID]
	return key, found, r.clock.now().Sub(r.read)
}

// readAgain replaces the set by what the address serves now; on any fault the old set stays.
func (r *remoteKeys) readAgain(ctx context.Context) error {
	request, err := http.NewRequestWithContext(context.WithoutCancel(ctx), http.MethodGet, r.url, nil)
	if err != nil {
		return errKeysMissing
	}
	request.Header.Set("Accept", "application/jwk-set+json, application/json")
	prepareRequest(request)
	answer, err := r.client.Do(request)
	if err != nil {
		return errKeysMissing
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(io.LimitReader(answer.Body, maxKeySetBytes+1))
	if err != nil || answer.StatusCode != http.StatusOK || len(text) > maxKeySetBytes {
		return errKeysMissing
	}
	keys, err := parseKeys(text, r.algorithms)
	if err != nil {
		return errKeysMissing
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	r.keys, r.read = keys, r.clock.now()
	return nil
}
