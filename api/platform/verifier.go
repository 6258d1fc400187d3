package platform

import (
	"context"
	"crypto/x509"
	"errors"
	"fmt"
	"net/netip"
	"reflect"

	"github.com/golang-jwt/jwt/v5"
)

// Verifier decides on the bearer tokens with which platforms call this service. Safe for concurrent use.
type Verifier struct {
	issuers map[string]*issuer
	clock   Clock
	longest int // octets of a token
	http    clients
}

// VerifierOptions say how a verifier reads key sets and the time.
type VerifierOptions struct {
	Clock   Clock
	Limits  Limits
	RootCAs *x509.CertPool // nil: the system's
	// Networks are private networks that calls may reach, from [ParseNetworks].
	Networks []netip.Prefix
}

// NewVerifier checks every issuer's configuration. No key set is read before the first token of its issuer.
//
// Errors: name the issuer by its place in the list and the defect.
func NewVerifier(configs []IssuerConfig, o VerifierOptions) (*Verifier, error) {
	empty := &Verifier{clock: o.Clock, longest: MaxBearer, http: newClients(o.Limits, o.RootCAs, o.Networks)}
	return empty.Renewed(configs)
}

// Renewed is a verifier for other configurations. An issuer whose configuration is the same as here keeps the key set
// that was read for it, so that a change to one platform asks nothing of the others. The receiver stays as it is.
//
// Errors: as for NewVerifier.
func (v *Verifier) Renewed(configs []IssuerConfig) (*Verifier, error) {
	next := &Verifier{issuers: map[string]*issuer{}, clock: v.clock, longest: v.longest, http: v.http}
	for i, config := range configs {
		config = config.withDefaults()
		if err := config.check(); err != nil {
			return nil, fmt.Errorf("issuer %d: %w", i+1, err)
		}
		if _, twice := next.issuers[config.Issuer]; twice {
			return nil, fmt.Errorf("issuer %d occurs twice", i+1)
		}
		if same, known := v.issuers[config.Issuer]; known && reflect.DeepEqual(same.IssuerConfig, config) {
			next.issuers[config.Issuer] = same
			continue
		}
		keys, err := config.source(v.clock, v.http.pick(config.AllowLoopback))
		if err != nil {
			return nil, fmt.Errorf("issuer %d: %w", i+1, err)
		}
		next.issuers[config.Issuer] = &issuer{IssuerConfig: config, keys: keys}
	}
	return next, nil
}

// Verify decides on one token: exactly one of caller and refusal is nil.
//
// Order: size, form, critical extensions; then issuer, algorithm, kind and key are chosen together from the
// configuration, before anything is verified; then signature; then claims. Expiry is refused at exp plus leeway and
// after, use before nbf or iat minus leeway.
//
// Cost: one signature check; at most one reading of the issuer's key set per gap. Errors: see [RefusalCode].
// Source: RFC 7515, section 5.2; RFC 7519, section 7.2; RFC 8725, section 3.
func (v *Verifier) Verify(ctx context.Context, token string) (*Caller, *Refusal) {
	parts, refusal := takeApart(token, v.longest)
	if refusal != nil {
		return nil, refusal
	}
	if parts.header.critical {
		return nil, refuse(RefusedCritical)
	}
	name, _ := textMember(parts.claims["iss"])
	from, known := v.issuers[name]
	if !known {
		return nil, refuse(RefusedIssuer)
	}
	key, refusal := from.choose(ctx, parts.header)
	if refusal != nil {
		return nil, refusal
	}
	caller, faulty := readCaller(parts)
	if err := v.parse(token, from, key); err != nil {
		if code := codeOf(err); faulty == nil || code == RefusedSignature {
			return nil, refuse(code)
		}
	}
	if faulty != nil {
		return nil, faulty // the signature is good; our reading of the claims is the stricter one
	}
	return v.admit(from, caller)
}

// choose finds the key a header may be verified with. The header's algorithm only has to agree; the key decides.
func (i *issuer) choose(ctx context.Context, header jose) (verifyKey, *Refusal) {
	permitted := false
	for _, algorithm := range i.Algorithms {
		permitted = permitted || algorithm == header.algorithm
	}
	switch {
	case !permitted:
		return verifyKey{}, refuse(RefusedAlgorithm)
	case !i.takesType(header.typ):
		return verifyKey{}, refuse(RefusedType)
	case header.keyID == "":
		return verifyKey{}, refuse(RefusedKey)
	}
	key, err := i.keys.find(ctx, header.keyID)
	switch {
	case errors.Is(err, errKeyUnknown):
		return verifyKey{}, refuse(RefusedKey)
	case err != nil:
		return verifyKey{}, refuse(RefusedKeysMissing)
	case key.algorithm != header.algorithm:
		return verifyKey{}, refuse(RefusedAlgorithm)
	}
	return key, nil
}

// parse lets the JWT library verify signature and registered claims.
func (v *Verifier) parse(token string, from *issuer, key verifyKey) error {
	parser := jwt.NewParser(
		jwt.WithValidMethods([]string{key.algorithm}),
		jwt.WithStrictDecoding(),
		jwt.WithJSONNumber(),
		jwt.WithIssuer(from.Issuer),
		jwt.WithAudience(from.Audience),
		jwt.WithExpirationRequired(),
		jwt.WithIssuedAt(),
		jwt.WithLeeway(from.Leeway),
		jwt.WithTimeFunc(v.clock.now),
	)
	_, err := parser.Parse(token, func(*jwt.Token) (any, error) { return key.key, nil })
	return err
}

// codeOf maps the library's faults, the first that fits.
func codeOf(err error) RefusalCode {
	for _, fault := range []struct {
		err  error
		code RefusalCode
	}{
		{jwt.ErrTokenMalformed, RefusedForm},
		{jwt.ErrTokenUnverifiable, RefusedSignature},
		{jwt.ErrTokenSignatureInvalid, RefusedSignature},
		{jwt.ErrTokenInvalidIssuer, RefusedIssuer},
		{jwt.ErrTokenInvalidAudience, RefusedAudience},
		{jwt.ErrTokenExpired, RefusedExpired},
		{jwt.ErrTokenNotValidYet, RefusedEarly},
		{jwt.ErrTokenUsedBeforeIssued, RefusedEarly},
	} {
		if errors.Is(err, fault.err) {
			return fault.code
		}
	}
	return RefusedClaims
}

// admit makes the checks of age that the library leaves open.
func (v *Verifier) admit(from *issuer, caller *Caller) (*Caller, *Refusal) {
	switch {
	case v.clock.now().Sub(caller.IssuedAt) > from.MaxAge+from.Leeway:
		return nil, refuse(RefusedAge)
	case caller.ExpiresAt.Sub(caller.IssuedAt) > from.MaxLifetime:
		return nil, refuse(RefusedLifetime)
	}
	return caller, nil
}
