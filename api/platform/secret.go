package platform

import (
	"bytes"
	"crypto/ed25519"
	"encoding/base64"
	"errors"
	"fmt"
	"strings"

	standardwebhooks "github.com/standard-webhooks/standard-webhooks/libraries/go"
)

const (
	minSecret = 24 // octets; source: Standard Webhooks 1.0.0, signature scheme
	maxSecret = 64
)

// Secret is one key of a webhook: a shared secret (whsec_), or the private (whsk_) or public (whpk_) half of an
// ed25519 pair. It never prints its key.
type Secret struct {
	shared  []byte
	private ed25519.PrivateKey
	public  ed25519.PublicKey
}

// ParseSecret reads the text form of a key: the prefix and standard base64.
//
// Domain: 24 to 64 octets after whsec_; the 32-octet seed, or seed and public half together, after whsk_; 32 octets
// after whpk_. Errors: say what was expected and quote nothing. Source: Standard Webhooks 1.0.0, signature scheme.
func ParseSecret(text string) (Secret, error) {
	prefix, coded, _ := strings.Cut(text, "_")
	raw, err := base64.StdEncoding.Strict().DecodeString(coded)
	if err != nil || strings.ContainsAny(coded, "\r\n") {
		return Secret{}, errors.New("webhook secret: expected a prefix and standard base64")
	}
	switch prefix {
	case "whsec":
		if len(raw) < minSecret || len(raw) > maxSecret {
			return Secret{}, fmt.Errorf("webhook secret: expected %d to %d octets, found %d", minSecret, maxSecret, len(raw))
		}
		return Secret{shared: raw}, nil
	case "whsk":
		return privateSecret(raw)
	case "whpk":
		if len(raw) != ed25519.PublicKeySize {
			return Secret{}, errors.New("webhook secret: expected 32 octets after whpk_")
		}
		return Secret{public: raw}, nil
	}
	return Secret{}, errors.New("webhook secret: expected whsec_, whsk_ or whpk_ in front")
}

func privateSecret(raw []byte) (Secret, error) {
	if len(raw) != ed25519.SeedSize && len(raw) != ed25519.PrivateKeySize {
		return Secret{}, errors.New("webhook secret: expected 32 or 64 octets after whsk_")
	}
	key := ed25519.NewKeyFromSeed(raw[:ed25519.SeedSize])
	if len(raw) == ed25519.PrivateKeySize && !bytes.Equal(raw, key) {
		return Secret{}, errors.New("webhook secret: the two halves after whsk_ do not belong together")
	}
	return Secret{private: key, public: key.Public().(ed25519.PublicKey)}, nil
}

// Public is what a receiver needs to check signatures of this key: the secret itself for a shared one, else the
// public half.
func (s Secret) Public() Secret {
	if s.shared != nil {
		return s
	}
	return Secret{public: s.public}
}

// String never shows key material.
func (s Secret) String() string {
	switch {
	case s.shared != nil:
		return "whsec_(hidden)"
	case s.private != nil:
		return "whsk_(hidden)"
	case s.public != nil:
		return "whpk_" + base64.StdEncoding.EncodeToString(s.public)
	}
	return "(no secret)"
}

// GoString never shows key material.
func (s Secret) GoString() string { return s.String() }

// MarshalText never shows key material.
func (s Secret) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

func (s Secret) canSign() bool { return s.shared != nil || s.private != nil }

// same tells whether two secrets hold the same key.
func (s Secret) same(other Secret) bool {
	return bytes.Equal(s.shared, other.shared) && bytes.Equal(s.public, other.public)
}

// library is the reference implementation, keyed with the shared secret.
func (s Secret) library() (*standardwebhooks.Webhook, error) {
	return standardwebhooks.NewWebhookRaw(s.shared)
}
