package platform

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/rsa"
	"crypto/x509"
	"encoding/json"
	"encoding/pem"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/MicahParks/jwkset"
	"github.com/golang-jwt/jwt/v5"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// testKey is one key for all tests of this package that do not care which.
var testKey = sync.OnceValues(func() (*SigningKey, error) { return GenerateSigningKey(2048) })

func someKey(t testing.TB) *SigningKey {
	t.Helper()
	key, err := testKey()
	require.NoError(t, err)
	return key
}

// Source of the cases: RFC 7638, section 3.1; RFC 8037, appendix A.3.
func TestThumbprintVectors(t *testing.T) {
	var file struct {
		Vectors []struct {
			ID        string
			JWK       json.RawMessage
			SHA256URL string `json:"sha256_base64url"`
		}
	}
	vectors(t, "jwk-thumbprint.json", &file)
	require.Len(t, file.Vectors, 3)
	for _, v := range file.Vectors {
		t.Run(v.ID, func(t *testing.T) {
			jwk, err := jwkset.NewJWKFromRawJSON(v.JWK, jwkset.JWKMarshalOptions{Private: true}, jwkset.JWKValidateOptions{})
			require.NoError(t, err)
			print, err := Thumbprint(jwk.Key())
			require.NoError(t, err)
			assert.Equal(t, v.SHA256URL, print)
			again, err := thumbprint(jwk.Marshal())
			require.NoError(t, err)
			assert.Equal(t, print, again)
		})
	}
	_, err := Thumbprint([]byte("a shared secret has no public identifier"))
	assert.Error(t, err)
}

// Source of the cases: RFC 7515, appendices A.1, A.2, A.3 and A.5; RFC 8037, appendix A.4.
func TestSignatureVectors(t *testing.T) {
	var file struct {
		Vectors []struct {
			ID, Alg, Compact string
			JWK              map[string]any
			Valid            bool `json:"signature_valid"`
		}
	}
	vectors(t, "jose-jws.json", &file)
	require.Len(t, file.Vectors, 5)
	for _, v := range file.Vectors {
		t.Run(v.ID, func(t *testing.T) {
			if !v.Valid {
				_, refusal := takeApart(v.Compact, MaxBearer)
				assert.Nil(t, refusal, "its form is good: it has to be refused for its algorithm")
				assert.NotContains(t, append(asymmetric(), "HS256"), v.Alg)
				return
			}
			key := vectorKey(t, v.Alg, v.JWK)
			assert.NoError(t, checkCompact(v.Compact, key))
			changed := strings.Replace(v.Compact, ".", ".e", 1)
			assert.Error(t, checkCompact(changed, key), "a changed payload must not verify")
		})
	}
}

// vectorKey takes a key the way the verifier does, from a key set or as a shared secret.
func vectorKey(t *testing.T, algorithm string, jwk map[string]any) verifyKey {
	t.Helper()
	jwk["kid"], jwk["alg"] = "vector", algorithm
	if jwk["kty"] == "oct" {
		secret, err := decodeSegment(jwk["k"].(string))
		require.NoError(t, err)
		config := IssuerConfig{Issuer: "i", Audience: "a", Shared: secret, SharedKeyID: "vector"}.withDefaults()
		require.NoError(t, config.check())
		source, err := config.source(nil, nil)
		require.NoError(t, err)
		return source.(fixedKeys)["vector"]
	}
	text, err := json.Marshal(map[string]any{"keys": []any{jwk}})
	require.NoError(t, err)
	keys, err := parseKeys(text, asymmetric())
	require.NoError(t, err)
	require.Contains(t, keys, "vector")
	return keys["vector"]
}

func checkCompact(compact string, key verifyKey) error {
	at := strings.LastIndexByte(compact, '.')
	signature, err := decodeSegment(compact[at+1:])
	if err != nil {
		return err
	}
	return jwt.GetSigningMethod(key.algorithm).Verify(compact[:at], signature, key.key)
}

// RS256 is deterministic: signing the text of RFC 7515, appendix A.2, gives its signature again.
func TestSigningReproducesThePublishedSignature(t *testing.T) {
	var file struct {
		Vectors []struct {
			ID, Compact string
			JWK         json.RawMessage
		}
	}
	vectors(t, "jose-jws.json", &file)
	v := file.Vectors[1]
	require.Equal(t, "rfc7515-a2-rs256", v.ID)
	jwk, err := jwkset.NewJWKFromRawJSON(v.JWK, jwkset.JWKMarshalOptions{Private: true}, jwkset.JWKValidateOptions{})
	require.NoError(t, err)
	key, err := newSigningKey(jwk.Key().(*rsa.PrivateKey))
	require.NoError(t, err)
	at := strings.LastIndexByte(v.Compact, '.')
	signature, err := jwt.SigningMethodRS256.Sign(v.Compact[:at], key.private)
	require.NoError(t, err)
	want, err := decodeSegment(v.Compact[at+1:])
	require.NoError(t, err)
	assert.Equal(t, want, signature)
}

func TestSigningKeySizes(t *testing.T) {
	for _, bits := range []int{0, 1024, 2047, 8193} {
		_, err := GenerateSigningKey(bits)
		assert.ErrorContains(t, err, fmt.Sprint(bits))
	}
	t.Setenv("GODEBUG", "rsa1024min=0")
	small, err := rsa.GenerateKey(rand.Reader, 1024)
	require.NoError(t, err)
	text := pem.EncodeToMemory(&pem.Block{Type: "RSA PRIVATE KEY", Bytes: x509.MarshalPKCS1PrivateKey(small)})
	_, err = ParseSigningKey(text)
	assert.ErrorContains(t, err, "found 1024")
}

func TestSigningKeyFiles(t *testing.T) {
	key := someKey(t)
	pkcs8, err := key.PEM()
	require.NoError(t, err)
	pkcs1 := pem.EncodeToMemory(&pem.Block{Type: "RSA PRIVATE KEY", Bytes: x509.MarshalPKCS1PrivateKey(key.private)})
	other, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	otherDER, err := x509.MarshalPKCS8PrivateKey(other)
	require.NoError(t, err)
	for _, row := range []struct {
		name string
		text []byte
		want string // part of the error, "" for none
	}{
		{"pkcs8", pkcs8, ""},
		{"pkcs1", pkcs1, ""},
		{"empty", nil, "found none"},
		{"no-pem", []byte("hello"), "found none"},
		{"certificate", pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: []byte{1}}), "another kind of block"},
		{"garbled-pkcs1", pem.EncodeToMemory(&pem.Block{Type: "RSA PRIVATE KEY", Bytes: []byte{1}}), "cannot be read"},
		{"garbled-pkcs8", pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: []byte{1}}), "cannot be read"},
		{"elliptic", pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: otherDER}), "another kind of key"},
	} {
		t.Run(row.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "key.pem")
			require.NoError(t, os.WriteFile(path, row.text, 0o600))
			read, err := LoadSigningKey(path)
			if row.want != "" {
				assert.ErrorContains(t, err, row.want)
				return
			}
			require.NoError(t, err)
			assert.Equal(t, key.ID(), read.ID())
		})
	}
	_, err = LoadSigningKey(filepath.Join(t.TempDir(), "none.pem"))
	assert.ErrorIs(t, err, os.ErrNotExist)
}

func TestKeysNeverPrint(t *testing.T) {
	key := someKey(t)
	secret := key.private.D.String()
	for _, text := range []string{fmt.Sprint(key), fmt.Sprintf("%v %+v %#v %s", key, key, key, key)} {
		assert.NotContains(t, text, secret)
		assert.NotContains(t, text, key.private.D.Text(16))
		assert.Contains(t, text, key.ID())
	}
}

// Source: RFC 7517, section 9; 1EdTech Security Framework 1.0, sections 6.3 and 6.4.
func TestPublishedKeySet(t *testing.T) {
	older := someKey(t)
	current, err := GenerateSigningKey(2048)
	require.NoError(t, err)
	set, err := NewKeySet(current, older)
	require.NoError(t, err)
	text, err := set.PublicJWKS()
	require.NoError(t, err)
	var served struct{ Keys []map[string]string }
	require.NoError(t, json.Unmarshal(text, &served))
	require.Len(t, served.Keys, 2)
	for i, key := range []*SigningKey{current, older} {
		entry := served.Keys[i]
		assert.Equal(t, key.ID(), entry["kid"])
		assert.Equal(t, "RS256", entry["alg"])
		assert.Equal(t, "sig", entry["use"])
		assert.Equal(t, "RSA", entry["kty"])
		assert.NotEmpty(t, entry["n"])
		assert.NotEmpty(t, entry["e"])
		assert.Len(t, entry, 6, "public members only")
	}
	// What either key signed still verifies from the served set.
	keys, err := parseKeys(text, []string{"RS256"})
	require.NoError(t, err)
	for _, key := range []*SigningKey{current, older} {
		token, err := key.Sign("JWT", map[string]any{"sub": "p-07c2"})
		require.NoError(t, err)
		assert.NoError(t, checkCompact(token, keys[key.ID()]))
	}
	_, err = NewKeySet(nil)
	assert.Error(t, err)
	_, err = NewKeySet(current, nil)
	assert.Error(t, err)
	_, err = NewKeySet(current, older, current)
	assert.ErrorContains(t, err, "twice")
}
