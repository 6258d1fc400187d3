package platform

import (
	"bytes"
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// MaxEventBytes bounds the body of a webhook. The standard advises about 20 kB.
const MaxEventBytes = 64 << 10

// maxSecrets bounds the signatures of one message; rotation needs two.
const maxSecrets = 4

// Webhook is one configured receiver of events.
type Webhook struct {
	Name    string // in logs and metrics
	URL     string
	Secrets []Secret // one, or new and old during a rotation: every message is signed with each

	// AllowPlainHTTP and AllowLoopback are for tests and the demo only.
	AllowPlainHTTP bool
	AllowLoopback  bool
}

// Validate checks a webhook at start-up.
//
// Errors: name the field and the defect, never a secret. Source: Standard Webhooks 1.0.0, signature scheme, enforcing
// HTTPS.
func (w *Webhook) Validate() error {
	if w.Name == "" || len(w.Name) > 64 || !printableASCII(w.Name) {
		return errors.New("webhook: the name is not 1 to 64 printable ASCII characters")
	}
	if _, err := parseTarget(w.URL, w.AllowPlainHTTP); err != nil {
		return fmt.Errorf("webhook %s: %w", w.Name, err)
	}
	if len(w.Secrets) == 0 || len(w.Secrets) > maxSecrets {
		return fmt.Errorf("webhook %s: expected 1 to %d secrets, found %d", w.Name, maxSecrets, len(w.Secrets))
	}
	for i, secret := range w.Secrets {
		if !secret.canSign() {
			return fmt.Errorf("webhook %s: secret %d cannot sign", w.Name, i+1)
		}
		for _, before := range w.Secrets[:i] {
			if before.same(secret) {
				return fmt.Errorf("webhook %s: secret %d occurs twice", w.Name, i+1)
			}
		}
	}
	return nil
}

func (w *Webhook) relaxed() []string {
	r := Registration{AllowPlainHTTP: w.AllowPlainHTTP, AllowLoopback: w.AllowLoopback}
	return r.relaxed()
}

// Event is what a webhook tells. The same identity always gives the same message id, also after a restart, so a
// receiver can drop repeats.
type Event struct {
	Type      string    // dotted, such as submission.graded
	Timestamp time.Time // when it happened
	Data      any       // encoded as JSON once
	// Identity says which event this is, for instance issuer, submission and attempt. It is hashed into the message
	// id and not sent.
	Identity []string
}

var eventType = regexp.MustCompile(`^[a-zA-Z0-9_]+(\.[a-zA-Z0-9_]+)*$`)

// EventID is the message id of an identity: letters, digits and an underscore only, so that nobody outside can put a
// full stop into the signed content.
//
// Exact: parts are length-prefixed, so different identities never hash the same text. Source: Standard Webhooks 1.0.0,
// signature scheme; deriving the id by SHA-256 is our choice.
func EventID(identity ...string) string {
	hash := sha256.New()
	for _, part := range identity {
		var length [8]byte
		binary.BigEndian.PutUint64(length[:], uint64(len(part)))
		hash.Write(length[:])
		hash.Write([]byte(part))
	}
	return "evt_" + hex.EncodeToString(hash.Sum(nil)[:20])
}

// body is the message as it is signed and sent.
func (e *Event) body() ([]byte, error) {
	switch {
	case !eventType.MatchString(e.Type) || len(e.Type) > 128:
		return nil, errors.New("event: the type is not dotted words of letters, digits and underscores")
	case e.Timestamp.IsZero():
		return nil, errors.New("event: the timestamp is missing")
	case len(e.Identity) == 0 || strings.Join(e.Identity, "") == "":
		return nil, errors.New("event: the identity is missing")
	}
	var text bytes.Buffer
	encoder := json.NewEncoder(&text)
	encoder.SetEscapeHTML(false)
	err := encoder.Encode(struct {
		Type      string `json:"type"`
		Timestamp string `json:"timestamp"`
		Data      any    `json:"data"`
	}{e.Type, formatInstant(e.Timestamp), e.Data})
	if err != nil {
		return nil, errors.New("event: the data cannot be written as JSON")
	}
	body := bytes.TrimRight(text.Bytes(), "\n")
	if len(body) > MaxEventBytes {
		return nil, fmt.Errorf("event: longer than %d octets", MaxEventBytes)
	}
	return body, nil
}

// signatures is the webhook-signature value: one signature per secret, split by single spaces.
//
// Source: Standard Webhooks 1.0.0, signature scheme and webhook headers.
func signatures(secrets []Secret, id string, at time.Time, body []byte) (string, error) {
	var all []string
	for _, secret := range secrets {
		if secret.shared == nil {
			signature := ed25519.Sign(secret.private, signedContent(id, at, body))
			all = append(all, "v1a,"+base64.StdEncoding.EncodeToString(signature))
			continue
		}
		library, err := secret.library()
		if err != nil {
			return "", errors.New("webhook: a secret cannot sign")
		}
		signature, err := library.Sign(id, at, body)
		if err != nil {
			return "", errors.New("webhook: a secret cannot sign")
		}
		all = append(all, signature)
	}
	return strings.Join(all, " "), nil
}

// signedContent is id, full stop, whole seconds, full stop, body octets.
func signedContent(id string, at time.Time, body []byte) []byte {
	return append([]byte(id+"."+strconv.FormatInt(at.Unix(), 10)+"."), body...)
}
