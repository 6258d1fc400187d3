package standin

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"mime"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"squaremark/api/platform"
)

// maxAssertionLife is the longest life of an assertion that is taken.
const maxAssertionLife = 10 * time.Minute

// grant is an access token in use.
type grant struct {
	scopes []string
	until  time.Time
}

// assertionChecker verifies signature, issuer, audience and times of assertions with the tool's published keys.
func (c Config) assertionChecker() (*platform.Verifier, error) {
	if c.ToolKeySetURL == "" && len(c.ToolKeySet) == 0 {
		return nil, nil
	}
	return platform.NewVerifier([]platform.IssuerConfig{{
		Issuer: c.ClientID, Audience: c.TokenAudience,
		KeySetURL: c.ToolKeySetURL, KeySet: c.ToolKeySet, KeysGap: time.Millisecond,
		MaxAge: maxAssertionLife, MaxLifetime: maxAssertionLife,
		AllowPlainHTTP: true, AllowLoopback: true,
	}}, platform.VerifierOptions{Clock: c.Clock})
}

// serveToken grants an access token against a signed assertion. Exactly the four fields of the client-credentials
// grant are taken, each once, and no other way of naming the client.
//
// Source: 1EdTech Security Framework 1.0, section 4.1; LTI Core 1.3, section 6.2; RFC 6749, section 5; RFC 7523.
func (p *Platform) serveToken(w http.ResponseWriter, r *http.Request) {
	mediaType, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil || mediaType != "application/x-www-form-urlencoded" {
		w.WriteHeader(http.StatusUnsupportedMediaType)
		return
	}
	if err := r.ParseForm(); err != nil || !fourFields(r.PostForm) || r.Header.Get("Authorization") != "" || r.URL.RawQuery != "" {
		refuseGrant(w, "invalid_request")
		return
	}
	form := r.PostForm
	if form.Get("grant_type") != "client_credentials" {
		refuseGrant(w, "unsupported_grant_type")
		return
	}
	if form.Get("client_assertion_type") != "urn:ietf:params:oauth:client-assertion-type:jwt-bearer" ||
		!p.acceptAssertion(r.Context(), form.Get("client_assertion")) {
		refuseGrant(w, "invalid_client")
		return
	}
	scopes := slices.DeleteFunc(strings.Fields(form.Get("scope")), func(scope string) bool {
		return !slices.Contains(p.config.GrantScopes, scope)
	})
	if len(scopes) == 0 {
		refuseGrant(w, "invalid_scope")
		return
	}
	body, err := json.Marshal(map[string]any{
		"access_token": p.grant(scopes), "token_type": "Bearer",
		"expires_in": int(p.config.TokenLife.Seconds()), "scope": strings.Join(scopes, " "),
	})
	if err != nil {
		w.WriteHeader(http.StatusInternalServerError)
		return
	}
	w.Header().Set("Cache-Control", "no-store")
	answer(w, http.StatusOK, "application/json", body)
}

func fourFields(form url.Values) bool {
	for _, name := range []string{"grant_type", "client_assertion_type", "client_assertion", "scope"} {
		if len(form[name]) != 1 {
			return false
		}
	}
	return len(form) == 4
}

func refuseGrant(w http.ResponseWriter, code string) {
	answer(w, http.StatusBadRequest, "application/json", []byte(`{"error":"`+code+`"}`))
}

// acceptAssertion adds to the checks of a bearer token: issuer and subject are both the client, the deployment fits
// when there is one, expiry lies after issue, and the identifier was never seen before.
func (p *Platform) acceptAssertion(ctx context.Context, assertion string) bool {
	if p.checker == nil {
		return false
	}
	claims, refusal := p.checker.Verify(ctx, assertion)
	if refusal != nil {
		return false
	}
	if claims.Subject != p.config.ClientID || claims.TokenID == "" || !claims.ExpiresAt.After(claims.IssuedAt) {
		return false
	}
	if p.config.DeploymentID != "" && claims.Text(platform.DeploymentClaim) != p.config.DeploymentID {
		return false
	}
	now := p.config.Clock()
	p.mu.Lock()
	defer p.mu.Unlock()
	for id, until := range p.replayed {
		if now.After(until) {
			delete(p.replayed, id)
		}
	}
	if _, seen := p.replayed[claims.TokenID]; seen {
		return false
	}
	p.replayed[claims.TokenID] = claims.ExpiresAt.Add(2 * time.Minute) // beyond any leeway
	return true
}

func (p *Platform) grant(scopes []string) string {
	token := rand.Text()
	now := p.config.Clock()
	p.mu.Lock()
	defer p.mu.Unlock()
	for old, g := range p.granted {
		if now.After(g.until) {
			delete(p.granted, old)
		}
	}
	p.granted[token] = grant{scopes: scopes, until: now.Add(p.config.TokenLife)}
	return token
}

// RevokeTokens makes every granted access token useless.
func (p *Platform) RevokeTokens() {
	p.mu.Lock()
	defer p.mu.Unlock()
	clear(p.granted)
}

// permit checks the access token of a request, which needs one of the scopes; it has answered when it returns false.
//
// Source: RFC 6750, sections 2.1 and 3.1.
func (p *Platform) permit(w http.ResponseWriter, r *http.Request, scopes ...string) bool {
	token, found := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
	p.mu.Lock()
	held, known := p.granted[token]
	p.mu.Unlock()
	if !found || !known || p.config.Clock().After(held.until) {
		w.Header().Set("WWW-Authenticate", `Bearer error="invalid_token"`)
		w.WriteHeader(http.StatusUnauthorized)
		return false
	}
	if !slices.ContainsFunc(scopes, func(scope string) bool { return slices.Contains(held.scopes, scope) }) {
		w.Header().Set("WWW-Authenticate", `Bearer error="insufficient_scope"`)
		w.WriteHeader(http.StatusForbidden)
		return false
	}
	return true
}
