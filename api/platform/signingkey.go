package platform

import (
	"crypto/rand"
	"crypto/rsa"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"fmt"
	"os"

	"github.com/golang-jwt/jwt/v5"
)

// minRSABits is the smallest RSA modulus in use anywhere in this package. Source: RFC 7518, section 3.3.
const minRSABits = 2048

// maxRSABits bounds the cost of one signature check.
const maxRSABits = 8192

// SigningKey is a private RSA key of this service with its key identifier.
//
// Domain: RSA, 2048 to 8192 bits; the identifier is the RFC 7638 thumbprint, so it can never name two keys.
type SigningKey struct {
	private *rsa.PrivateKey
	id      string
}

// GenerateSigningKey makes a fresh RSA key.
//
// Domain: 2048 to 8192 bits. Cost: about a second for 4096 bits. Source: RFC 7518, section 3.3.
func GenerateSigningKey(bits int) (*SigningKey, error) {
	if bits < minRSABits || bits > maxRSABits {
		return nil, rsaSizeError(bits)
	}
	private, err := rsa.GenerateKey(rand.Reader, bits)
	if err != nil {
		return nil, fmt.Errorf("generating an RSA key: %w", err)
	}
	return newSigningKey(private)
}

// LoadSigningKey reads a PEM file that holds one unencrypted RSA private key (PKCS #1 or PKCS #8).
//
// Errors: name the file and what was expected, never what the file holds.
func LoadSigningKey(path string) (*SigningKey, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("reading the signing key: %w", err)
	}
	key, err := ParseSigningKey(text)
	if err != nil {
		return nil, fmt.Errorf("signing key %s: %w", path, err)
	}
	return key, nil
}

// ParseSigningKey reads PEM text that holds one unencrypted RSA private key (PKCS #1 or PKCS #8).
func ParseSigningKey(text []byte) (*SigningKey, error) {
	block, _ := pem.Decode(text)
	if block == nil {
		return nil, errors.New("expected a PEM block with an RSA private key, found none")
	}
	switch block.Type {
	case "RSA PRIVATE KEY":
		private, err := x509.ParsePKCS1PrivateKey(block.Bytes)
		if err != nil {
			return nil, errors.New("the PKCS #1 block cannot be read as an RSA private key")
		}
		return newSigningKey(private)
	case "PRIVATE KEY":
		private, err := x509.ParsePKCS8PrivateKey(block.Bytes)
		if err != nil {
			return nil, errors.New("the PKCS #8 block cannot be read as a private key")
		}
		key, ok := private.(*rsa.PrivateKey)
		if !ok {
			return nil, errors.New("expected an RSA private key, found another kind of key")
		}
		return newSigningKey(key)
	}
	return nil, errors.New("expected an unencrypted RSA PRIVATE KEY or PRIVATE KEY block, found another kind of block")
}

func newSigningKey(private *rsa.PrivateKey) (*SigningKey, error) {
	if bits := private.N.BitLen(); bits < minRSABits || bits > maxRSABits {
		return nil, rsaSizeError(bits)
	}
	if err := private.Validate(); err != nil {
		return nil, errors.New("the RSA private key is inconsistent")
	}
	id, err := Thumbprint(&private.PublicKey)
	if err != nil {
		return nil, err
	}
	return &SigningKey{private: private, id: id}, nil
}

func rsaSizeError(bits int) error {
	return fmt.Errorf("expected an RSA key of %d to %d bits, found %d", minRSABits, maxRSABits, bits)
}

// ID is the key identifier: the RFC 7638 thumbprint of the public half.
func (k *SigningKey) ID() string { return k.id }

// PEM is the private key as a PKCS #8 block, for writing it to a file that only the service can read.
func (k *SigningKey) PEM() ([]byte, error) {
	der, err := x509.MarshalPKCS8PrivateKey(k.private)
	if err != nil {
		return nil, errors.New("the RSA private key cannot be written as PKCS #8")
	}
	return pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: der}), nil
}

// String never shows key material.
func (k *SigningKey) String() string { return "signing key " + k.id }

// GoString never shows key material.
func (k *SigningKey) GoString() string { return k.String() }

// Sign makes a compact RS256 token over the claims, with this key's identifier and the kind of token in its header.
//
// Source: RFC 7515, section 3.1; RFC 7518, section 3.3.
func (k *SigningKey) Sign(typ string, claims map[string]any) (string, error) {
	token := jwt.NewWithClaims(jwt.SigningMethodRS256, jwt.MapClaims(claims))
	token.Header["typ"] = typ
	token.Header["kid"] = k.id
	text, err := token.SignedString(k.private)
	if err != nil {
		return "", errors.New("the claims cannot be signed")
	}
	return text, nil
}
