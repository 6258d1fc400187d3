package settings

import (
	"errors"
	"fmt"
	"os"
	"strings"

	"squaremark/api"
	"squaremark/api/platform"
)

// errSecret does not repeat what it found.
var errSecret = errors.New("expected the name of a file that holds the secret, found a secret itself")

// Ready makes the platforms ready for the API: what is sent to each, and
// which tokens of each are good. Errors name the platform and the key, never
// a secret.
func (s *Settings) Ready() ([]api.Platform, []platform.IssuerConfig, error) {
	var partners []api.Platform
	var issuers []platform.IssuerConfig
	for i, p := range s.Platforms {
		partner, issuer, err := s.ready(p)
		if err != nil {
			return nil, nil, fmt.Errorf("platforms[%d]: %w", i, err)
		}
		partners, issuers = append(partners, partner), append(issuers, issuer)
	}
	return partners, issuers, nil
}

func (s *Settings) ready(p Platform) (api.Platform, platform.IssuerConfig, error) {
	issuer := platform.IssuerConfig{
		Issuer: p.Issuer, Audience: p.Audience, KeySetURL: p.KeySetURL, Algorithms: p.Algorithms,
		AllowPlainHTTP: p.LocalTest, AllowLoopback: p.LocalTest,
	}
	if p.KeySetFile != "" {
		pinned, err := os.ReadFile(s.beside(p.KeySetFile))
		if err != nil {
			return api.Platform{}, issuer, fmt.Errorf("keySetFile: %w", err)
		}
		issuer.KeySet = pinned
	}
	keys, err := s.keys(p.SigningKeys)
	if err != nil {
		return api.Platform{}, issuer, fmt.Errorf("signingKeys: %w", err)
	}
	registration := &platform.Registration{
		Issuer: p.Issuer, ClientID: p.ClientID, DeploymentID: p.DeploymentID,
		TokenURL: p.TokenURL, TokenAudience: p.TokenAudience, LineItemOrigins: p.LineItemOrigins, Keys: keys,
		AllowPlainHTTP: p.LocalTest, AllowLoopback: p.LocalTest,
	}
	partner := api.Platform{Registration: registration, PinnedOnly: p.PinnedOnly, Quizzes: p.Quizzes, Lookup: api.LookupRight(p.Lookup)}
	for i, h := range p.Webhooks {
		hook, err := s.webhook(h, p.LocalTest)
		if err != nil {
			return partner, issuer, fmt.Errorf("webhooks[%d]: %w", i, err)
		}
		partner.Webhooks = append(partner.Webhooks, hook)
	}
	return partner, issuer, nil
}

func (s *Settings) keys(files []string) (*platform.KeySet, error) {
	if len(files) == 0 {
		return nil, fmt.Errorf("expected at least one PEM file; make one with: squaremark key FILE")
	}
	var keys []*platform.SigningKey
	for _, f := range files {
		if looksSecret(f) {
			return nil, errSecret
		}
		k, err := platform.LoadSigningKey(s.beside(f))
		if err != nil {
			return nil, err
		}
		keys = append(keys, k)
	}
	return platform.NewKeySet(keys[0], keys[1:]...)
}

func (s *Settings) webhook(h Webhook, localTest bool) (*platform.Webhook, error) {
	hook := &platform.Webhook{Name: h.Name, URL: h.URL, AllowPlainHTTP: localTest, AllowLoopback: localTest}
	for _, f := range h.SecretFiles {
		if looksSecret(f) {
			return nil, errSecret
		}
		text, err := os.ReadFile(s.beside(f))
		if err != nil {
			return nil, err
		}
		secret, err := platform.ParseSecret(strings.TrimSpace(string(text)))
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f, err)
		}
		hook.Secrets = append(hook.Secrets, secret)
	}
	return hook, nil
}
