// Package settings reads what an operator sets. For each setting the first of these that names it counts: a flag, an
// environment variable, the settings file, the default.
//
//	settings.go   all settings
//	table.go      the settings that are one value: name, meaning, form
//	load.go       the sources, in their order
//	file.go       the settings file with the places of its keys
//	explain.go    what is in force and where it comes from
//	platforms.go  what is registered for a platform, made ready
//	watched.go    the files whose change matters
package settings

import (
	"path/filepath"
	"time"

	"squaremark/api"
)

// Settings are all settings. Secrets are not among them: they live in files of their own, which are named here.
type Settings struct {
	Listen    string        // address of the API
	Rubrics   string        // folder of rubric files
	Log       string        // debug, info, warn or error
	Metrics   string        // address of the metrics; "" for none
	Profile   bool          // profiles of the process beside the metrics
	Watch     time.Duration // time between two looks at the files; 0 for none
	Networks  string        // private networks that outgoing calls may reach, with commas between them
	Limits    api.Limits
	Platforms []Platform // course platforms that may call

	file    string            // the settings file, "" for none
	origins map[string]string // where each setting comes from, by key; those that are missing are defaults
	unknown []string          // environment variables with the prefix that are no setting
}

// Platform is one registered course platform.
type Platform struct {
	Issuer     string   `yaml:"issuer"`     // "iss" of its tokens, exact text
	Audience   string   `yaml:"audience"`   // "aud" of its tokens: what it calls this service
	KeySetURL  string   `yaml:"keySetUrl"`  // where it publishes its keys, or
	KeySetFile string   `yaml:"keySetFile"` // a file that pins them
	Algorithms []string `yaml:"algorithms"` // default RS256

	ClientID        string   `yaml:"clientId"`
	DeploymentID    string   `yaml:"deploymentId"`
	TokenURL        string   `yaml:"tokenUrl"`
	TokenAudience   string   `yaml:"tokenAudience"` // default: the token URL
	LineItemOrigins []string `yaml:"lineItemOrigins"`
	// SigningKeys are PEM files: the key in use first, then those that still stand in the published key set.
	SigningKeys []string  `yaml:"signingKeys"`
	Webhooks    []Webhook `yaml:"webhooks"`
	// Quizzes are the ids of the quizzes it may see; none named means all.
	Quizzes []string `yaml:"quizzes"`
	// Lookup says whether its submissions may name a quiz instead of a line item: "", "find" or "create".
	Lookup string `yaml:"lookup"`
	// PinnedOnly refuses tokens that do not name the pupil they are for.
	PinnedOnly bool `yaml:"pinnedOnly"`
	// LocalTest lets this platform be on this machine and speak plain HTTP.
	LocalTest bool `yaml:"localTest"`
}

// Webhook is one receiver of events.
type Webhook struct {
	Name        string   `yaml:"name"`
	URL         string   `yaml:"url"`
	SecretFiles []string `yaml:"secretFiles"` // one, or the new and the old one
}

// Default are the settings where nothing says otherwise.
func Default() Settings {
	return Settings{
		Listen: "127.0.0.1:8080", Log: "info", Watch: 10 * time.Second, Limits: api.DefaultLimits(),
		origins: map[string]string{},
	}
}

// complete fills in what follows from other keys.
func (p *Platform) complete() {
	if len(p.Algorithms) == 0 {
		p.Algorithms = []string{"RS256"}
	}
	if p.TokenAudience == "" {
		p.TokenAudience = p.TokenURL
	}
}

// beside resolves a name from the settings file: relative names start in the file's folder.
func (s *Settings) beside(name string) string {
	if filepath.IsAbs(name) || s.file == "" || name == "" {
		return name
	}
	return filepath.Join(filepath.Dir(s.file), name)
}
