package api_test

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"math/big"
	"net"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"go.uber.org/zap"
	"go.uber.org/zap/zapcore"

	"squaremark/api"
	"squaremark/api/platform"
	"squaremark/api/platform/standin"
)

// circle is the evening circle's course platform and a running service beside it, both on this machine.
type circle struct {
	t        *testing.T
	platform *standin.Platform
	config   api.Config
	server   *api.Server
	url      string
	lineItem string
	logs     *lockedBuffer
	stop     context.CancelFunc
	ended    chan error
}

type lockedBuffer struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (b *lockedBuffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.text.Write(p)
}

func (b *lockedBuffer) Sync() error { return nil }

func (b *lockedBuffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.text.String()
}

// serviceKeys are made once: RSA keys take their time.
var serviceKeys = sync.OnceValues(func() (*platform.KeySet, error) {
	key, err := platform.GenerateSigningKey(2048)
	if err != nil {
		return nil, err
	}
	return platform.NewKeySet(key)
})

// platformKey signs for every stand-in that does not rotate: tests are not about making keys.
var platformKey = sync.OnceValues(func() (*platform.SigningKey, error) { return platform.GenerateSigningKey(2048) })

// big10 is the maximum of further line items.
var big10 = big.NewRat(10, 1)

const hookName = "evening-circle"

func newCircle(t *testing.T, change ...func(*api.Config)) *circle {
	t.Helper()
	keys, err := serviceKeys()
	require.NoError(t, err)
	public, err := keys.PublicJWKS()
	require.NoError(t, err)
	secret, err := platform.ParseSecret("whsec_" + "Z2FyZGVuLXBsb3RzLWFuZC1zcXVhcmVzLWFsbC1ldmVuaW5n")
	require.NoError(t, err)
	key, err := platformKey()
	require.NoError(t, err)
	school, err := standin.Start(standin.Config{
		Key: key, ToolKeySet: public, WebhookSecrets: []platform.Secret{secret},
		GrantScopes: []string{platform.ScoreScope, platform.ItemReadScope, platform.ItemScope, platform.ResultScope},
	})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, school.Close()) })

	logs := &lockedBuffer{}
	log := zap.New(zapcore.NewCore(zapcore.NewJSONEncoder(zap.NewProductionEncoderConfig()), logs, zap.DebugLevel))
	verifier, err := platform.NewVerifier([]platform.IssuerConfig{school.IssuerConfig()}, platform.VerifierOptions{})
	require.NoError(t, err)
	config := api.Config{
		Rubrics:  api.OpenRubrics("testdata/rubrics", fullMarks, log),
		Verifier: verifier,
		Sender:   platform.NewClient(platform.ClientOptions{Log: log, Retry: platform.RetryPolicy{Attempts: 2, First: time.Millisecond, Total: 5 * time.Second}}),
		Platforms: []api.Platform{{
			Registration: school.Registration(keys),
			Webhooks: []*platform.Webhook{{
				Name: hookName, URL: school.HookURL(), Secrets: []platform.Secret{secret}, AllowPlainHTTP: true, AllowLoopback: true,
			}},
		}},
		Log: log,
	}
	for _, f := range change {
		f(&config)
	}
	server, err := api.New(config)
	require.NoError(t, err)
	c := &circle{t: t, platform: school, config: config, server: server, logs: logs, ended: make(chan error, 1)}
	c.lineItem = school.AddLineItem(standin.LineItem{ID: "garden-plots", Label: "Garden plots", Maximum: big.NewRat(20, 1)})
	c.serve()
	return c
}

func (c *circle) serve() {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(c.t, err)
	ctx, stop := context.WithCancel(context.Background())
	c.url, c.stop = "http://"+listener.Addr().String(), stop
	go func() { c.ended <- c.server.Serve(ctx, listener) }()
	c.t.Cleanup(stop)
}

// token is what the platform sends with a request; further claims win.
func (c *circle) token(claims map[string]any) string {
	all := map[string]any{"sub": "circle-courses", "scope": "submit read"}
	for name, value := range claims {
		all[name] = value
	}
	token, err := c.platform.MintSubmissionToken(all)
	require.NoError(c.t, err)
	return token
}

// submission is one that is right in every respect, with changes: a nil value takes a member away.
func (c *circle) submission(changes map[string]any) map[string]any {
	all := map[string]any{
		"rubric":      map[string]any{"quiz": "garden-plots"},
		"pupil":       "p-07c2",
		"target":      map[string]any{"lineItem": c.lineItem},
		"submittedAt": "2026-03-05T18:42:10Z",
		"startedAt":   "2026-03-05T18:20:00Z",
		"answers": map[string]any{
			"beds":  "-2, -1, 0, 1, 2",
			"fence": "(x - 5)^2 - 22",
			"hedge": []any{
				map[string]any{"text": "a^2 - 6a + 9 >= 0"},
				map[string]any{"text": "(a - 3)^2 >= 0", "link": "<=>"},
			},
		},
	}
	for name, value := range changes {
		if all[name] = value; value == nil {
			delete(all, name)
		}
	}
	return all
}

// call is a request in the making.
type call struct {
	method, path string
	header       http.Header
	body         string
}

func (c *circle) get(path string) call {
	return call{method: http.MethodGet, path: path, header: http.Header{"Authorization": {"Bearer " + c.token(nil)}}}
}

func (c *circle) submit(body any) call {
	text, ok := body.(string)
	if !ok {
		raw, err := json.Marshal(body)
		require.NoError(c.t, err)
		text = string(raw)
	}
	return call{
		method: http.MethodPost, path: "/v1/submissions", body: text,
		header: http.Header{"Authorization": {"Bearer " + c.token(nil)}, "Content-Type": {"application/json"}},
	}
}

func (k call) with(name, value string) call {
	k.header = k.header.Clone()
	if value == "" {
		k.header.Del(name)
	} else {
		k.header.Set(name, value)
	}
	return k
}

// reply is an answer with its body read and checked against the contract.
type reply struct {
	status int
	header http.Header
	body   []byte
}

func (r reply) json(t *testing.T) map[string]any {
	t.Helper()
	var value map[string]any
	require.NoError(t, json.Unmarshal(r.body, &value), "%s", r.body)
	return value
}

// problem is the last part of the problem's type.
func (r reply) problem(t *testing.T) string {
	t.Helper()
	require.Equal(t, "application/problem+json", r.header.Get("Content-Type"), "%s", r.body)
	kind, _ := r.json(t)["type"].(string)
	return kind[strings.LastIndexByte(kind, '/')+1:]
}

// pointers are the places that a problem names.
func (r reply) pointers(t *testing.T) []string {
	t.Helper()
	list := []string{}
	faults, _ := r.json(t)["errors"].([]any)
	for _, f := range faults {
		list = append(list, f.(map[string]any)["pointer"].(string))
	}
	return list
}

// do sends a request and checks the answer against the contract.
func (c *circle) do(k call) reply {
	c.t.Helper()
	request, err := http.NewRequest(k.method, c.url+k.path, strings.NewReader(k.body))
	require.NoError(c.t, err)
	for name, values := range k.header {
		request.Header[name] = values
	}
	answer, err := http.DefaultClient.Do(request)
	require.NoError(c.t, err)
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	require.NoError(c.t, err)
	checkAnswer(c.t, request, answer, body)
	return reply{answer.StatusCode, answer.Header, body}
}
