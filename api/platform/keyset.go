package platform

import (
	"context"
	"errors"
	"fmt"

	"github.com/MicahParks/jwkset"
)

// KeySet is the signing key in use and the older keys that are still published.
//
// Rotation: start with a new current key and the former one among the older keys; drop the older key once every
// platform has read the set again (longer than the max-age the set is served with). Source: 1EdTech Security
// Framework 1.0, sections 6.3 and 6.4.
type KeySet struct {
	current *SigningKey
	older   []*SigningKey
}

// NewKeySet checks that a current key is there and that no key occurs twice.
func NewKeySet(current *SigningKey, older ...*SigningKey) (*KeySet, error) {
	if current == nil {
		return nil, errors.New("a key set needs a current key")
	}
	seen := map[string]bool{current.ID(): true}
	for _, key := range older {
		if key == nil {
			return nil, errors.New("an older key of the key set is missing")
		}
		if seen[key.ID()] {
			return nil, fmt.Errorf("key %s occurs twice in the key set", key.ID())
		}
		seen[key.ID()] = true
	}
	return &KeySet{current: current, older: append([]*SigningKey(nil), older...)}, nil
}

// Current is the key that signs.
func (s *KeySet) Current() *SigningKey { return s.current }

// PublicJWKS is the set as it is served to platforms: every key with kty, n, e, use, alg and kid, public members only.
//
// Source: RFC 7517, sections 4, 5 and 9; media type application/jwk-set+json (section 8.5).
func (s *KeySet) PublicJWKS() ([]byte, error) {
	storage := jwkset.NewMemoryStorage()
	ctx := context.Background()
	for _, key := range append([]*SigningKey{s.current}, s.older...) {
		jwk, err := jwkset.NewJWKFromKey(&key.private.PublicKey, jwkset.JWKOptions{
			Metadata: jwkset.JWKMetadataOptions{ALG: jwkset.AlgRS256, KID: key.ID(), USE: jwkset.UseSig},
		})
		if err != nil {
			return nil, fmt.Errorf("publishing key %s: %w", key.ID(), err)
		}
		if err := storage.KeyWrite(ctx, jwk); err != nil {
			return nil, fmt.Errorf("publishing key %s: %w", key.ID(), err)
		}
	}
	return storage.JSONPublic(ctx)
}
