package service

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math/big"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.uber.org/zap"
	"go.uber.org/zap/zapcore"
	"go.uber.org/zap/zaptest/observer"

	"squaremark/api/platform"
	"squaremark/api/platform/standin"
	"squaremark/cmd/squaremark/settings"
)

// evening is a running service with a settings folder of its own, beside a stand-in platform.
type evening struct {
	t       *testing.T
	folder  string
	school  *standin.Platform
	service *Service
	logs    *observer.ObservedLogs
	url     string
	private string
}

const sheet = `rubric: 1
quiz: plots
title: %s
questions:
  - id: fence
    kind: square-form
    prompt: Write x^2 - 6x + 4 as a square and a number.
    variables: {x: real}
    expression: x^2 - 6x + 4
    model: (x - 3)^2 - 5
`

// free is an address on this machine that nobody uses at the moment.
func free(t *testing.T) string {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer listener.Close()
	return listener.Addr().String()
}

func open(t *testing.T, more string) *evening {
	t.Helper()
	e := &evening{t: t, folder: t.TempDir()}
	listen, private := free(t), free(t)
	e.url, e.private = "http://"+listen, "http://"+private
	var err error
	e.school, err = standin.Start(standin.Config{ToolKeySetURL: e.url + "/.well-known/jwks.json"})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, e.school.Close()) })
	e.key("service.pem")
	e.write("sheets/plots.yaml", fmt.Sprintf(sheet, "Plots"))
	e.settings(fmt.Sprintf("listen: %s\nmetrics: %s\nrubrics: sheets\n%s", listen, private, more), e.platform(e.school, "service.pem"))

	core, logs := observer.New(zapcore.DebugLevel)
	e.logs = logs
	e.service, err = New(func() (settings.Settings, error) {
		return settings.Load(settings.Sources{File: filepath.Join(e.folder, "settings.yaml")})
	}, zap.New(core))
	require.NoError(t, err)
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- e.service.Run(ctx) }()
	t.Cleanup(func() { stop(); require.NoError(t, <-ended) })
	require.Eventually(t, func() bool { return e.status("/readyz") == 200 }, 10*time.Second, 5*time.Millisecond)
	return e
}

func (e *evening) path(name string) string { return filepath.Join(e.folder, name) }

// write replaces a file the way an editor does, whole.
func (e *evening) write(name, text string) {
	e.t.Helper()
	require.NoError(e.t, os.MkdirAll(filepath.Dir(e.path(name)), 0o700))
	require.NoError(e.t, os.WriteFile(e.path(name+".new"), []byte(text), 0o600))
	require.NoError(e.t, os.Rename(e.path(name+".new"), e.path(name)))
}

func (e *evening) key(name string) *platform.SigningKey {
	e.t.Helper()
	key, err := platform.GenerateSigningKey(2048)
	require.NoError(e.t, err)
	text, err := key.PEM()
	require.NoError(e.t, err)
	e.write(name, string(text))
	return key
}

func (e *evening) platform(school *standin.Platform, keys string) string {
	return fmt.Sprintf("  - issuer: %[1]s\n    audience: squaremark\n    keySetUrl: %[1]s/jwks\n    clientId: client-circle\n"+
		"    tokenUrl: %[1]s/token\n    lineItemOrigins: [%[1]s]\n    localTest: true\n    signingKeys: [%[2]s]\n", school.URL(), keys)
}

func (e *evening) settings(top string, platforms ...string) {
	e.write("settings.yaml", top+"platforms:\n"+strings.Join(platforms, ""))
}

// top is the part of the settings file before the platforms.
func (e *evening) top() string {
	text, err := os.ReadFile(e.path("settings.yaml"))
	require.NoError(e.t, err)
	before, _, _ := strings.Cut(string(text), "platforms:")
	return before
}

func (e *evening) get(url, token string) (int, string) {
	request, err := http.NewRequest(http.MethodGet, url, nil)
	require.NoError(e.t, err)
	if token != "" {
		request.Header.Set("Authorization", "Bearer "+token)
	}
	answer, err := http.DefaultClient.Do(request)
	if err != nil {
		return 0, ""
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	require.NoError(e.t, err)
	return answer.StatusCode, string(body)
}

func (e *evening) status(path string) int {
	status, _ := e.get(e.url+path, "")
	return status
}

// title is that of the rubric in use, as a platform sees it.
func (e *evening) title() string {
	_, body := e.get(e.url+"/v1/rubrics/plots", e.token(e.school))
	var face struct{ Title string }
	require.NoError(e.t, json.Unmarshal([]byte(body), &face), body)
	return face.Title
}

func (e *evening) token(school *standin.Platform) string {
	token, err := school.MintSubmissionToken(map[string]any{"sub": "circle-courses", "scope": "submit read"})
	require.NoError(e.t, err)
	return token
}

func (e *evening) metric(series string) string {
	_, text := e.get(e.private+"/metrics", "")
	for line := range strings.Lines(text) {
		if rest, ok := strings.CutPrefix(line, series+" "); ok {
			return strings.TrimSpace(rest)
		}
	}
	return ""
}

func (e *evening) publishedKeys() int {
	_, text := e.get(e.url+"/.well-known/jwks.json", "")
	return strings.Count(text, `"kid"`)
}

func (e *evening) submit(school *standin.Platform) int {
	item := school.AddLineItem(standin.LineItem{ID: "plots", Label: "Plots", Maximum: big.NewRat(1, 1)})
	body := fmt.Sprintf(`{"rubric":{"quiz":"plots"},"pupil":"p-52b1","target":{"lineItem":%q},"submittedAt":"2026-03-05T18:42:10Z","answers":{"fence":"(x - 3)^2 - 5"}}`, item)
	request, err := http.NewRequest(http.MethodPost, e.url+"/v1/submissions", bytes.NewReader([]byte(body)))
	require.NoError(e.t, err)
	request.Header.Set("Authorization", "Bearer "+e.token(school))
	request.Header.Set("Content-Type", "application/json")
	answer, err := http.DefaultClient.Do(request)
	require.NoError(e.t, err)
	answer.Body.Close()
	return answer.StatusCode
}

// A new version of a rubric is taken; a broken one, or a folder that is gone, leaves the good one in use.
func TestReloadKeepsTheGoodRubric(t *testing.T) {
	e := open(t, "watch: 0s\n")
	require.Equal(t, "Plots", e.title())
	e.write("sheets/plots.yaml", fmt.Sprintf(sheet, "Wider plots"))
	require.NoError(t, e.service.Reload())
	require.Equal(t, "Wider plots", e.title())
	e.write("sheets/plots.yaml", "rubric: [")
	require.NoError(t, e.service.Reload())
	assert.Equal(t, "Wider plots", e.title())
	assert.Equal(t, 200, e.status("/readyz"))
	assert.Equal(t, "1", e.metric("squaremark_rubrics_kept_out"))
	assert.Equal(t, "1", e.metric("squaremark_rubrics_ready"))
	require.NoError(t, os.Rename(e.path("sheets"), e.path("elsewhere")))
	require.NoError(t, e.service.Reload())
	assert.Equal(t, "Wider plots", e.title())
	assert.Equal(t, 200, e.status("/readyz"))
	require.NoError(t, os.Rename(e.path("elsewhere"), e.path("sheets")))
	e.write("sheets/plots.yaml", fmt.Sprintf(sheet, "Narrow plots"))
	require.NoError(t, e.service.Reload())
	assert.Equal(t, "Narrow plots", e.title())
	assert.Equal(t, "0", e.metric("squaremark_rubrics_kept_out"))
}

// A second platform and a rotated key come into force; settings that cannot be used change nothing.
func TestReloadOfPlatformsAndKeys(t *testing.T) {
	e := open(t, "watch: 0s\n")
	top := e.top()
	morning, err := standin.Start(standin.Config{ToolKeySetURL: e.url + "/.well-known/jwks.json"})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, morning.Close()) })
	require.Equal(t, 200, e.submit(e.school))
	require.Equal(t, 401, e.submit(morning))

	for _, bad := range []struct{ name, top, platforms string }{
		{"a key file that is missing", top, e.platform(e.school, "gone.pem")},
		{"a slip in a key", top, strings.ReplaceAll(e.platform(e.school, "service.pem"), "clientId", "clientid")},
		{"no platform", top, ""},
		{"an address of no platform", top, strings.ReplaceAll(e.platform(e.school, "service.pem"), "/token", "/token#x")},
		{"one platform twice", top, e.platform(e.school, "service.pem") + e.platform(e.school, "service.pem")},
		{"a limit without sense", top + "limits: {burst: 0}\n", e.platform(e.school, "service.pem")},
	} {
		e.settings(bad.top, bad.platforms)
		require.Error(t, e.service.Reload(), bad.name)
		assert.Equal(t, 200, e.submit(e.school), bad.name)
		assert.Equal(t, "1", e.metric("squaremark_settings_stale"), bad.name)
		assert.Equal(t, 1, e.publishedKeys(), bad.name)
	}
	assert.Equal(t, "6", e.metric(`squaremark_reloads_total{outcome="kept"}`))

	e.key("fresh.pem")
	e.settings(top+"log: warn\n", e.platform(e.school, "fresh.pem, service.pem"), e.platform(morning, "fresh.pem"))
	require.NoError(t, e.service.Reload())
	assert.Equal(t, "0", e.metric("squaremark_settings_stale"))
	assert.Equal(t, 2, e.publishedKeys(), "the new key and the former one")
	assert.Equal(t, 200, e.submit(morning))
	assert.Equal(t, 200, e.submit(e.school))
	assert.Equal(t, "1", e.metric(`squaremark_deliveries_total{channel="line-item",platform="`+morning.URL()+`",state="delivered"}`))
	waiting := e.logs.FilterMessage("some settings count from the next start on").All()
	require.Len(t, waiting, 1)
	assert.Equal(t, []any{"log"}, waiting[0].ContextMap()["settings"])

	e.settings(top, e.platform(morning, "fresh.pem"))
	require.NoError(t, e.service.Reload())
	assert.Equal(t, 401, e.submit(e.school), "no longer registered")
}

// Changes are found by looking: no signal is needed, and a file that comes late is taken when it is there.
func TestChangesAreFound(t *testing.T) {
	e := open(t, "watch: 20ms\n")
	soon := func(what string, holds func() bool) {
		t.Helper()
		require.Eventually(t, holds, 10*time.Second, 10*time.Millisecond, what)
	}
	e.write("sheets/plots.yaml", fmt.Sprintf(sheet, "Wider plots"))
	soon("the new rubric", func() bool { return e.title() == "Wider plots" })

	e.settings(e.top(), e.platform(e.school, "late.pem, service.pem"))
	soon("settings with a missing key are noticed", func() bool { return e.metric("squaremark_settings_stale") == "1" })
	e.key("late.pem")
	soon("the key came", func() bool { return e.publishedKeys() == 2 })
	assert.Equal(t, "0", e.metric("squaremark_settings_stale"))
	assert.Len(t, e.logs.FilterMessage("settings cannot be used; those before stay in force").All(), 1, "told once, not at each look")

	before := e.metric(`squaremark_reloads_total{outcome="taken"}`)
	time.Sleep(200 * time.Millisecond)
	assert.Equal(t, before, e.metric(`squaremark_reloads_total{outcome="taken"}`), "nothing changed, nothing is read")
}

// A service that was put together from parts has no settings to read again.
func TestPartsCannotBeReloaded(t *testing.T) {
	e := open(t, "")
	s := e.service.settings
	partners, issuers, err := s.Ready()
	require.NoError(t, err)
	parts, err := Assemble(s.Rubrics, partners, issuers, zap.NewNop())
	require.NoError(t, err)
	assert.ErrorContains(t, parts.Reload(), "without a settings file")
}

func TestBuild(t *testing.T) {
	info := &debug.BuildInfo{GoVersion: "go9", Main: debug.Module{Version: "v1.2.3"}, Settings: []debug.BuildSetting{
		{Key: "vcs.revision", Value: "abc"}, {Key: "vcs.modified", Value: "true"},
	}}
	b := buildOf(info, "", "")
	assert.Equal(t, []any{"v1.2.3", "abc", true, "go9"}, []any{b.Version, b.Revision, b.Changed, b.Go})
	b = buildOf(info, "v2", "def")
	assert.Equal(t, []any{"v2", "def", false}, []any{b.Version, b.Revision, b.Changed}, "the linker knows better")
	b = buildOf(nil, "", "")
	assert.Equal(t, []any{"unknown", "unknown"}, []any{b.Version, b.Revision})
	assert.NotEmpty(t, b.Engine)
}
