package deploy

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/goccy/go-yaml"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api/platform"
	"squaremark/cmd/squaremark/settings"
)

// composeFile holds the keys of the Compose Specification that compose.yaml uses; any other is an error.
type composeFile struct {
	Name     string `yaml:"name"`
	Services map[string]struct {
		Image string `yaml:"image"`
		Build struct {
			Context    string            `yaml:"context"`
			Dockerfile string            `yaml:"dockerfile"`
			Args       map[string]string `yaml:"args"`
		} `yaml:"build"`
		Environment     map[string]string `yaml:"environment"`
		Ports           []string          `yaml:"ports"`
		Volumes         []string          `yaml:"volumes"`
		User            string            `yaml:"user"`
		ReadOnly        bool              `yaml:"read_only"`
		CapDrop         []string          `yaml:"cap_drop"`
		SecurityOpt     []string          `yaml:"security_opt"`
		MemLimit        string            `yaml:"mem_limit"`
		PidsLimit       int               `yaml:"pids_limit"`
		Restart         string            `yaml:"restart"`
		StopGracePeriod string            `yaml:"stop_grace_period"`
		Logging         struct {
			Driver  string            `yaml:"driver"`
			Options map[string]string `yaml:"options"`
		} `yaml:"logging"`
	} `yaml:"services"`
}

func TestCompose(t *testing.T) {
	text, err := os.ReadFile("compose.yaml")
	require.NoError(t, err)
	var file composeFile
	require.NoError(t, yaml.UnmarshalWithOptions(text, &file, yaml.Strict()))
	service := file.Services["squaremark"]
	assert.True(t, service.ReadOnly)
	assert.Equal(t, "65532:65532", service.User)
	assert.Equal(t, []string{"ALL"}, service.CapDrop)
	assert.Equal(t, []string{"no-new-privileges:true"}, service.SecurityOpt)
	for _, p := range service.Ports {
		assert.True(t, strings.HasPrefix(p, "127.0.0.1:"), "%s: published on this machine only", p)
	}
	for _, v := range service.Volumes {
		parts := strings.Split(v, ":")
		require.Len(t, parts, 3)
		assert.DirExists(t, parts[0])
		assert.Equal(t, "ro", parts[2])
	}
	dockerfile, err := os.ReadFile("Dockerfile")
	require.NoError(t, err)
	assert.FileExists(t, filepath.Join(service.Build.Context, service.Build.Dockerfile))
	for name := range service.Build.Args {
		assert.Contains(t, string(dockerfile), "ARG "+name+"=")
	}
	s := usable(t, "compose/settings.yaml")
	grace, err := time.ParseDuration(service.StopGracePeriod)
	require.NoError(t, err)
	assert.Greater(t, grace, s.Limits.DrainDelay+s.Limits.Drain)
}

// The settings inside the manifest of the cluster are ones that the service takes.
func TestClusterSettings(t *testing.T) {
	text, err := os.ReadFile("kubernetes/settings.yaml")
	require.NoError(t, err)
	var manifest struct {
		Data map[string]string `yaml:"data"`
	}
	require.NoError(t, yaml.Unmarshal(text, &manifest))
	require.Len(t, manifest.Data, 1)
	path := filepath.Join(t.TempDir(), "settings.yaml")
	require.NoError(t, os.WriteFile(path, []byte(strings.ReplaceAll(manifest.Data["settings.yaml"], "/run/keys/", "")), 0o600))
	s := usable(t, path)
	assert.Equal(t, "/srv/rubrics", s.Rubrics)
	assert.NotEmpty(t, s.Metrics)
}

// usable demands that settings load and, with a key beside them, are ready.
func usable(t *testing.T, path string) settings.Settings {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	folder := t.TempDir()
	copied := filepath.Join(folder, "settings.yaml")
	require.NoError(t, os.WriteFile(copied, text, 0o600))
	key, err := platform.GenerateSigningKey(2048)
	require.NoError(t, err)
	pem, err := key.PEM()
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "service.pem"), pem, 0o600))
	s, err := settings.Load(settings.Sources{File: copied})
	require.NoError(t, err)
	_, issuers, err := s.Ready()
	require.NoError(t, err)
	_, err = platform.NewVerifier(issuers, platform.VerifierOptions{})
	require.NoError(t, err)
	return s
}

// SETTINGS.md lists every setting as the service has it.
func TestSettingsAreDocumented(t *testing.T) {
	text, err := os.ReadFile("SETTINGS.md")
	require.NoError(t, err)
	var want strings.Builder
	want.WriteString("| key | variable | default | meaning |\n| --- | --- | --- | --- |\n")
	for _, one := range settings.Table() {
		value := one.Default()
		if value == "" {
			value = "none"
		}
		if one.Key == "limits.marking" {
			value = "processors" // that of this machine would be no help
		}
		want.WriteString("| `" + one.Key + "` | `" + one.Variable() + "` | " + value + " | " + one.Meaning + " |\n")
	}
	if !strings.Contains(string(text), want.String()) {
		t.Errorf("SETTINGS.md: expected this table:\n%s", want.String())
	}
}
