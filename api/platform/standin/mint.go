package standin

import (
	"crypto/rand"
	"maps"
	"net/http"
	"time"

	"squaremark/api/platform"
)

// mintedLife is how long a minted token is good for.
const mintedLife = 5 * time.Minute

// MintSubmissionToken signs a token with which the platform calls the service. Issuer, audience, times and identifier
// are filled in; the given claims are added and win, and a nil value takes a claim away. The caller gives at least
// "sub".
func (p *Platform) MintSubmissionToken(claims map[string]any) (string, error) {
	now := p.config.Clock()
	all := map[string]any{
		"iss": p.config.Issuer,
		"aud": p.config.ToolAudience,
		"iat": now.Unix(),
		"exp": now.Add(mintedLife).Unix(),
		"jti": rand.Text(),
	}
	maps.Copy(all, claims)
	maps.DeleteFunc(all, func(_ string, value any) bool { return value == nil })
	p.mu.Lock()
	key := p.keys.Current()
	p.mu.Unlock()
	return key.Sign("JWT", all)
}

// RotateKey makes a new signing key; the key set then holds the new and the former one.
func (p *Platform) RotateKey() error {
	key, err := platform.GenerateSigningKey(keyBits)
	if err != nil {
		return err
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	keys, err := platform.NewKeySet(key, p.keys.Current())
	if err == nil {
		p.keys = keys
	}
	return err
}

func (p *Platform) serveKeys(w http.ResponseWriter, _ *http.Request) {
	p.mu.Lock()
	keys := p.keys
	p.mu.Unlock()
	text, err := keys.PublicJWKS()
	if err != nil {
		w.WriteHeader(http.StatusInternalServerError)
		return
	}
	w.Header().Set("Cache-Control", "max-age=600")
	answer(w, http.StatusOK, "application/jwk-set+json", text)
}

// answer writes a body. An error while writing means that the other side is gone.
func answer(w http.ResponseWriter, status int, mediaType string, body []byte) {
	w.Header().Set("Content-Type", mediaType)
	w.WriteHeader(status)
	_, _ = w.Write(body)
}
