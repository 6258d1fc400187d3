// Package settings reads what an operator sets: a file, with the environment
// above it and flags above that.
//
//	settings.go   the file's keys, and the order of sources
//	platforms.go  what is registered for a platform, made ready
package settings

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/goccy/go-yaml"
)

// Settings are all keys of the file. Durations and secrets are not given in
// it: secrets live in files of their own.
type Settings struct {
	// Listen is the address to serve on. Default 127.0.0.1:8080.
	Listen string `yaml:"listen"`
	// Rubrics is the folder of rubric files.
	Rubrics string `yaml:"rubrics"`
	// Log is the level of the log: debug, info, warn or error. Default info.
	Log string `yaml:"log"`
	// Platforms are the course platforms that may call.
	Platforms []Platform `yaml:"platforms"`

	folder string // relative names in the file start here
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
	// SigningKeys are PEM files: the key in use first, then those that still
	// stand in the published key set.
	SigningKeys []string  `yaml:"signingKeys"`
	Webhooks    []Webhook `yaml:"webhooks"`
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

// maxFile bounds the settings file, in bytes.
const maxFile = 1 << 20

// Default are the settings where nothing says otherwise.
func Default() Settings { return Settings{Listen: "127.0.0.1:8080", Log: "info"} }

// Read reads a settings file. Unknown keys are errors. Errors carry the file
// and the place in it.
func Read(path string) (Settings, error) {
	s := Default()
	info, err := os.Stat(path)
	if err != nil {
		return s, err
	}
	if info.Size() > maxFile {
		return s, fmt.Errorf("%s: expected at most %d bytes, found %d", path, maxFile, info.Size())
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return s, err
	}
	s.folder = filepath.Dir(path)
	if err := yaml.NewDecoder(bytes.NewReader(data), yaml.Strict()).Decode(&s); err != nil {
		return s, fmt.Errorf("%s:%s", path, yaml.FormatError(err, false, true))
	}
	return s, nil
}

// Override takes over what is not empty.
func (s *Settings) Override(listen, rubrics, log string) {
	for _, o := range []struct {
		field *string
		value string
	}{{&s.Listen, listen}, {&s.Log, log}} {
		if o.value != "" {
			*o.field = o.value
		}
	}
	if rubrics != "" {
		s.Rubrics = absolute(rubrics)
	}
}

func absolute(path string) string {
	if full, err := filepath.Abs(path); err == nil {
		return full
	}
	return path
}

// RubricFolder is the folder of rubric files.
func (s *Settings) RubricFolder() (string, error) {
	if s.Rubrics == "" {
		return "", errors.New("no folder of rubrics is set: give --rubrics, SQUAREMARK_RUBRICS, or the key rubrics of the settings file")
	}
	return s.file(s.Rubrics), nil
}

// file resolves a name from the settings file.
func (s *Settings) file(name string) string {
	if filepath.IsAbs(name) || s.folder == "" {
		return name
	}
	return filepath.Join(s.folder, name)
}
