package platform

import (
	"crypto/ed25519"
	"encoding/base64"
	"errors"
	"net/http"
	"strconv"
	"strings"
	"time"

	standardwebhooks "github.com/standard-webhooks/standard-webhooks/libraries/go"
)

// WebhookTolerance is how far the time of a webhook may lie from the receiver's clock, either way. Source: the value
// of the reference libraries; the specification only asks for some tolerance.
const WebhookTolerance = 300 * time.Second

// maxSignatures bounds the list in webhook-signature.
const maxSignatures = 16

// Faults of a received webhook.
var (
	ErrWebhookHeaders   = errors.New("webhook: id, timestamp or signature is missing or malformed")
	ErrWebhookTime      = errors.New("webhook: the timestamp is too far from the clock")
	ErrWebhookSignature = errors.New("webhook: no signature fits")
)

// VerifyWebhook checks a received message against the receiver's own list of secrets and gives its id. One fitting
// signature is enough; signatures of unknown versions are passed over; comparison takes constant time.
//
// Domain: the body as received, octet by octet. Errors: the three faults above.
// Source: Standard Webhooks 1.0.0, verifying signatures.
func VerifyWebhook(secrets []Secret, header http.Header, body []byte, now time.Time) (id string, err error) {
	id = header.Get(standardwebhooks.HeaderWebhookID)
	stamp := header.Get(standardwebhooks.HeaderWebhookTimestamp)
	list := header.Get(standardwebhooks.HeaderWebhookSignature)
	seconds, err := strconv.ParseInt(stamp, 10, 64)
	if err != nil || !allDigits(stamp) || id == "" || strings.Contains(id, ".") || list == "" ||
		strings.Count(list, " ") >= maxSignatures {
		return "", ErrWebhookHeaders
	}
	at := time.Unix(seconds, 0)
	if age := now.Sub(at); age > WebhookTolerance || age < -WebhookTolerance {
		return "", ErrWebhookTime
	}
	for _, secret := range secrets {
		if secret.fits(header, id, at, list, body) {
			return id, nil
		}
	}
	return "", ErrWebhookSignature
}

// fits tells whether one signature of the list is made with this key. Shared secrets are left to the reference
// library (the time was checked before, against the caller's clock).
func (s Secret) fits(header http.Header, id string, at time.Time, list string, body []byte) bool {
	if s.shared != nil {
		library, err := s.library()
		return err == nil && library.VerifyIgnoringTimestamp(body, header) == nil
	}
	if s.public == nil {
		return false
	}
	for _, entry := range strings.Split(list, " ") {
		version, coded, _ := strings.Cut(entry, ",")
		signature, err := base64.StdEncoding.DecodeString(coded)
		if version == "v1a" && err == nil && ed25519.Verify(s.public, signedContent(id, at, body), signature) {
			return true
		}
	}
	return false
}
