package standin

import (
	"encoding/json"
	"io"
	"net/http"
	"slices"

	"squaremark/api/platform"
)

// Received is one webhook that was verified.
type Received struct {
	ID   string
	Type string
	Body []byte
}

// Webhooks are the verified messages in order of arrival; a repeated id counts once.
func (p *Platform) Webhooks() []Received {
	p.mu.Lock()
	defer p.mu.Unlock()
	return slices.Clone(p.hooks)
}

// serveHook verifies a message over the octets as received. Source: Standard Webhooks 1.0.0, verifying signatures.
func (p *Platform) serveHook(w http.ResponseWriter, r *http.Request) {
	body, err := io.ReadAll(io.LimitReader(r.Body, maxBody))
	if err != nil {
		w.WriteHeader(http.StatusBadRequest)
		return
	}
	id, err := platform.VerifyWebhook(p.config.WebhookSecrets, r.Header, body, p.config.Clock())
	if err != nil {
		w.WriteHeader(http.StatusUnauthorized)
		return
	}
	var event struct {
		Type string `json:"type"`
	}
	if err := json.Unmarshal(body, &event); err != nil {
		w.WriteHeader(http.StatusBadRequest)
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if !p.hookIDs[id] {
		p.hookIDs[id] = true
		p.hooks = append(p.hooks, Received{ID: id, Type: event.Type, Body: body})
	}
	w.WriteHeader(http.StatusNoContent)
}
