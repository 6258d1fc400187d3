package platform

import (
	"crypto"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"fmt"

	"github.com/MicahParks/jwkset"
)

// Thumbprint is the RFC 7638 identifier of a public key: SHA-256 over the required members only, in code-point order,
// without white space, as base64url without padding.
//
// Domain: *rsa.PublicKey, *ecdsa.PublicKey, ed25519.PublicKey and their private forms, which give the same text.
// Source: RFC 7638, sections 3 and 3.2; RFC 8037, appendix A.3.
func Thumbprint(key crypto.PublicKey) (string, error) {
	jwk, err := jwkset.NewJWKFromKey(key, jwkset.JWKOptions{})
	if err != nil {
		return "", fmt.Errorf("expected an RSA, elliptic-curve or Ed25519 key, found %T", key)
	}
	return thumbprint(jwk.Marshal())
}

// thumbprint works on the members of a key. The structs below hold the required members in code-point order, and
// their values are base64url, so that the encoder adds neither white space nor escapes.
func thumbprint(m jwkset.JWKMarshal) (string, error) {
	var required any
	switch m.KTY {
	case jwkset.KtyRSA:
		required = struct {
			E   string `json:"e"`
			KTY string `json:"kty"`
			N   string `json:"n"`
		}{m.E, m.KTY.String(), m.N}
	case jwkset.KtyEC:
		required = struct {
			CRV string `json:"crv"`
			KTY string `json:"kty"`
			X   string `json:"x"`
			Y   string `json:"y"`
		}{m.CRV.String(), m.KTY.String(), m.X, m.Y}
	case jwkset.KtyOKP:
		required = struct {
			CRV string `json:"crv"`
			KTY string `json:"kty"`
			X   string `json:"x"`
		}{m.CRV.String(), m.KTY.String(), m.X}
	default:
		return "", fmt.Errorf("expected a key of type RSA, EC or OKP, found %q", m.KTY.String())
	}
	text, err := json.Marshal(required)
	if err != nil {
		return "", fmt.Errorf("writing the thumbprint members: %w", err)
	}
	sum := sha256.Sum256(text)
	return base64.RawURLEncoding.EncodeToString(sum[:]), nil
}
