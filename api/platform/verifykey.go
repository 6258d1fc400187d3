package platform

import (
	"crypto"
	"crypto/ecdsa"
	"crypto/ed25519"
	"crypto/rsa"
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"github.com/MicahParks/jwkset"
)

// maxKeys bounds a key set from outside.
const maxKeys = 64

// verifyKey is one key and the one algorithm it verifies. Source: RFC 8725, section 3.1.
type verifyKey struct {
	algorithm string
	key       any // what the JWT library wants: a public key, or the octets of a shared secret
}

// asymmetric lists the algorithms a platform's public key may verify; the JWT library's name for Ed25519 is EdDSA.
// Source: RFC 7518, section 3.1; RFC 8037, section 3.1.
func asymmetric() []string {
	return []string{"RS256", "RS384", "RS512", "PS256", "PS384", "PS512", "ES256", "ES384", "ES512", "EdDSA"}
}

// parseKeys reads a JWK set. Keys that are odd (unknown type, members missing or out of range, RSA below 2048 bits,
// not for signatures, no identifier, no algorithm of the list) are passed over. Two different keys with one identifier
// are both passed over: nobody could tell which one is meant.
//
// Errors: only for text that is no key set at all. Source: RFC 7517, sections 4 and 5.
func parseKeys(text []byte, algorithms []string) (map[string]verifyKey, error) {
	members, err := strictObject(text)
	if err != nil {
		return nil, errors.New("expected a JWK set")
	}
	var entries []json.RawMessage
	if err := json.Unmarshal(members["keys"], &entries); err != nil || entries == nil {
		return nil, errors.New("expected a JWK set with a list of keys")
	}
	if len(entries) > maxKeys {
		return nil, fmt.Errorf("expected a JWK set of at most %d keys", maxKeys)
	}
	keys, prints := map[string]verifyKey{}, map[string]string{}
	for _, entry := range entries {
		id, print, key, ok := parseKey(entry, algorithms)
		if !ok {
			continue
		}
		if other, twice := prints[id]; twice && other != print {
			prints[id] = "ambiguous"
			delete(keys, id)
			continue
		}
		prints[id], keys[id] = print, key
	}
	return keys, nil
}

func parseKey(entry []byte, algorithms []string) (id, print string, key verifyKey, ok bool) {
	var m jwkset.JWKMarshal
	if json.Unmarshal(entry, &m) != nil || m.KID == "" || len(m.KID) > maxKeyID || !forSignatures(m) {
		return "", "", verifyKey{}, false
	}
	// Certificates beside the key play no part here, and an address of one is not to be followed.
	m.X5U, m.X5C, m.X5T, m.X5TS256 = "", nil, "", ""
	jwk, err := jwkset.NewJWKFromMarshal(m, jwkset.JWKMarshalOptions{}, jwkset.JWKValidateOptions{})
	if err != nil {
		return "", "", verifyKey{}, false
	}
	algorithm := keyAlgorithm(m.ALG.String(), jwk.Key(), algorithms)
	if algorithm == "" {
		return "", "", verifyKey{}, false
	}
	print, err = thumbprint(m)
	return m.KID, print, verifyKey{algorithm: algorithm, key: jwk.Key()}, err == nil
}

func forSignatures(m jwkset.JWKMarshal) bool {
	if m.USE != "" && m.USE != jwkset.UseSig {
		return false
	}
	return len(m.KEYOPS) == 0 || slices.Contains(m.KEYOPS, jwkset.KeyOpsVerify)
}

// keyAlgorithm is the one algorithm of a key: the one it states, or else the first of the issuer's list that fits its
// type; "" when there is none.
func keyAlgorithm(stated string, key crypto.PublicKey, algorithms []string) string {
	for _, algorithm := range algorithms {
		if (stated == "" || stated == algorithm) && fitsAlgorithm(key, algorithm) {
			return algorithm
		}
	}
	return ""
}

func fitsAlgorithm(key crypto.PublicKey, algorithm string) bool {
	switch k := key.(type) {
	case *rsa.PublicKey:
		bits := k.N.BitLen()
		return (algorithm[:2] == "RS" || algorithm[:2] == "PS") && bits >= minRSABits && bits <= maxRSABits
	case *ecdsa.PublicKey:
		curve := map[string]string{"ES256": "P-256", "ES384": "P-384", "ES512": "P-521"}[algorithm]
		return curve == k.Curve.Params().Name
	case ed25519.PublicKey:
		return algorithm == "EdDSA"
	}
	return false
}
