package platform

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"time"
)

const (
	// ReceiptType is the "typ" of score receipts, which no other token of this service has.
	ReceiptType = "squaremark-score-receipt+jwt"
	// receiptParty is both issuer and audience of receipts: this service writes to itself. It is neither the client id
	// nor any token audience, so a receipt is no client assertion even for a reader that does not look at the type.
	receiptParty = "https://squaremark.example/receipts"

	// MaxReceipt is the longest receipt, in octets.
	MaxReceipt = 32 << 10
	// MaxReceiptLife is the longest life a receipt may be given.
	MaxReceiptLife = 30 * 24 * time.Hour
)

// Receipt is a score on its way to a line item, as a receipt holds it.
type Receipt struct {
	LineItem  string
	Container string // the line items among which this one was looked up, "" where it was named
	Score     Score
	Expires   time.Time // set by Open
}

// Receipts signs and reads the receipts for one platform: a score that could not be delivered, in the caller's hands,
// so that any instance of the service can deliver it later without a store. A receipt holds the exact bytes of the
// score message, timestamp included: delivering it twice, or after a newer score, has no effect.
//
// Safe for concurrent use. Source: RFC 7515, RFC 7519, RFC 8725 (sections 3.11 and 3.12, kinds of token apart).
type Receipts struct {
	registration *Registration
	verifier     *Verifier
	clock        Clock
	life         time.Duration
}

// NewReceipts prepares receipts that can be delivered for the given time. Every key of the registration's set reads
// them, the current one signs: keep an older key in the set for at least that time.
//
// Domain: a life above zero, at most MaxReceiptLife.
func NewReceipts(r *Registration, life time.Duration, clock Clock) (*Receipts, error) {
	if r == nil || r.Keys == nil {
		return nil, errors.New("receipts: there is no key set to sign with")
	}
	if life <= 0 || life > MaxReceiptLife {
		return nil, fmt.Errorf("receipts: the life is not between zero and %s", MaxReceiptLife)
	}
	keys, err := r.Keys.PublicJWKS()
	if err != nil {
		return nil, fmt.Errorf("receipts: %w", err)
	}
	verifier, err := NewVerifier([]IssuerConfig{{
		Issuer: receiptParty, Audience: receiptParty, KeySet: keys, Types: []string{ReceiptType},
		MaxAge: life, MaxLifetime: life,
	}}, VerifierOptions{Clock: clock})
	if err != nil {
		return nil, fmt.Errorf("receipts: %w", err)
	}
	verifier.longest = MaxReceipt
	return &Receipts{registration: r, verifier: verifier, clock: clock, life: life}, nil
}

// Sign writes a receipt down.
//
// Errors: for a score that breaks a rule, and for one that no receipt can hold because it is too long.
func (r *Receipts) Sign(receipt Receipt) (string, error) {
	body, err := receipt.Score.MarshalJSON()
	if err != nil {
		return "", err
	}
	now := r.clock.now()
	claims := map[string]any{
		"iss": receiptParty, "aud": receiptParty, "sub": "score", "jti": rand.Text(),
		"iat": now.Unix(), "exp": now.Add(r.life).Unix(),
		"platform": r.registration.Issuer, "lineItem": receipt.LineItem, "score": string(body),
	}
	if receipt.Container != "" {
		claims["lineItems"] = receipt.Container
	}
	signed, err := r.registration.Keys.Current().Sign(ReceiptType, claims)
	if err == nil && len(signed) > MaxReceipt {
		err = errors.New("receipt: the score is too long")
	}
	if err != nil {
		return "", err
	}
	return signed, nil
}

// Open reads a receipt: exactly one of receipt and refusal is nil. Signature, kind and times are checked first, then
// that it was made for this platform, then that the score is one that this service writes, octet by octet. Whether
// the line item may still be called is another check.
//
// Errors: see [RefusalCode]; a good receipt for another platform is refused as RefusedPlatform.
func (r *Receipts) Open(ctx context.Context, text string) (*Receipt, *Refusal) {
	claims, refusal := r.verifier.Verify(ctx, text)
	if refusal != nil {
		return nil, refusal
	}
	if claims.Text("platform") != r.registration.Issuer {
		return nil, refuse(RefusedPlatform)
	}
	body := claims.Text("score")
	score, err := ParseScore([]byte(body))
	if err != nil {
		return nil, refuse(RefusedClaims)
	}
	if again, err := score.MarshalJSON(); err != nil || string(again) != body {
		return nil, refuse(RefusedClaims)
	}
	return &Receipt{
		LineItem: claims.Text("lineItem"), Container: claims.Text("lineItems"), Score: score, Expires: claims.ExpiresAt,
	}, nil
}
