package api_test

import (
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api"
	"squaremark/api/contract"
	"squaremark/api/platform"
	"squaremark/api/platform/standin"
	"squaremark/grader"
)

// tally writes down what an observer is told.
type tally struct {
	mu        sync.Mutex
	began     []string
	ended     []api.RequestEnd
	lines     []string
	marked    int
	delivered []api.DeliveryEnd
}

func (y *tally) note(f func()) {
	y.mu.Lock()
	defer y.mu.Unlock()
	f()
}

func (y *tally) RequestBegan(route string)       { y.note(func() { y.began = append(y.began, route) }) }
func (y *tally) RequestEnded(end api.RequestEnd) { y.note(func() { y.ended = append(y.ended, end) }) }
func (y *tally) LineEnded(outcome, because string) {
	y.note(func() { y.lines = append(y.lines, outcome+" "+because) })
}
func (y *tally) Marked(time.Duration, *grader.Result) {
	y.note(func() { y.marked++ })
}
func (y *tally) Delivered(end api.DeliveryEnd) {
	y.note(func() { y.delivered = append(y.delivered, end) })
}

// last waits for the end of the request that was sent last: its answer may be read before it is told.
func (y *tally) last(t *testing.T, requests int) api.RequestEnd {
	t.Helper()
	var end api.RequestEnd
	require.Eventually(t, func() bool {
		y.mu.Lock()
		defer y.mu.Unlock()
		if len(y.ended) < requests {
			return false
		}
		end = y.ended[requests-1]
		return true
	}, 10*time.Second, time.Millisecond)
	return end
}

func TestObserverIsToldOfEveryEnd(t *testing.T) {
	seen := &tally{}
	c := newCircle(t, func(c *api.Config) { c.Observer = seen })
	issuer := c.config.Platforms[0].Registration.Issuer

	require.Equal(t, 200, c.do(good(c)).status)
	end := seen.last(t, 1)
	assert.Positive(t, end.Took)
	end.Took = 0
	assert.Equal(t, api.RequestEnd{Method: "POST", Route: "/v1/submissions", Status: 200, Outcome: "ok", Platform: issuer}, end)
	assert.Equal(t, []string{"/v1/submissions"}, seen.began)
	assert.Equal(t, 1, seen.marked)
	require.Len(t, seen.delivered, 1)
	assert.Equal(t, issuer, seen.delivered[0].Platform)
	assert.Equal(t, contract.LineItem, seen.delivered[0].Channel)
	assert.Equal(t, contract.Delivered, seen.delivered[0].State)
	assert.Equal(t, 1, seen.delivered[0].Attempts)

	c.platform.Fail(standin.ScoresEndpoint, standin.Fault{Status: 403})
	c.do(good(c))
	assert.Equal(t, "delivery-refused", seen.last(t, 2).Outcome)
	assert.Equal(t, contract.Refused, seen.delivered[1].State)

	c.do(good(c).with("Authorization", "Bearer a.b.c"))
	end = seen.last(t, 3)
	assert.Equal(t, "token-refused", end.Outcome)
	assert.Equal(t, string(platform.RefusedForm), end.Because)
	assert.Empty(t, end.Platform)

	c.do(c.get("/v1/nowhere"))
	assert.Equal(t, "not-found", seen.last(t, 4).Outcome)
	assert.Len(t, seen.began, 4)
}

// Each line of a batch is told with its own outcome; the batch as a whole is one request.
func TestObserverIsToldOfEveryLine(t *testing.T) {
	seen := &tally{}
	c := newCircle(t, func(c *api.Config) { c.Observer = seen })
	require.Equal(t, 200, c.do(c.batch(c.line(nil), "{", c.line(map[string]any{"pupil": "p-18d0"}))).status)
	end := seen.last(t, 1)
	assert.Equal(t, "/v1/submissions/batch", end.Route)
	assert.Equal(t, "ok", end.Outcome)
	assert.ElementsMatch(t, []string{"ok ", "malformed-json ", "ok "}, seen.lines)
	assert.Equal(t, 2, seen.marked)
	assert.Len(t, seen.delivered, 2)
}

// Readings of the folder count versions that became ready and files that were kept out.
func TestRubricCounts(t *testing.T) {
	_, dir, store := withRubrics(t, fullMarks)
	assert.Equal(t, api.RubricCounts{Ready: 1, Accepted: 1, Readings: 1}, store.Counts())
	writeRubric(t, dir, "plots.yaml", retitled("Wider plots"))
	store.Reload()
	assert.Equal(t, api.RubricCounts{Ready: 1, Older: 1, Accepted: 2, Readings: 2}, store.Counts())
	require.NoError(t, os.WriteFile(filepath.Join(dir, "plots.yaml"), []byte("quiz: ["), 0o600))
	store.Reload()
	assert.Equal(t, api.RubricCounts{Ready: 1, KeptOut: 1, Older: 1, Accepted: 2, Rejected: 1, Readings: 3}, store.Counts())
	store.Reload()
	assert.Equal(t, 2, store.Counts().Rejected)
	writeRubric(t, dir, "plots.yaml", retitled("Wider plots"))
	store.Reload()
	assert.Equal(t, api.RubricCounts{Ready: 1, Older: 1, Accepted: 2, Rejected: 2, Readings: 5}, store.Counts())
}

// Platforms are exchanged while the server serves; what cannot be used changes nothing.
func TestRenewedPlatforms(t *testing.T) {
	c := newCircle(t)
	evening, err := serviceKeys()
	require.NoError(t, err)
	fresh, err := platform.GenerateSigningKey(2048)
	require.NoError(t, err)
	rotated, err := platform.NewKeySet(fresh, evening.Current())
	require.NoError(t, err)
	public, err := rotated.PublicJWKS()
	require.NoError(t, err)
	morning, err := standin.Start(standin.Config{ToolKeySet: public})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, morning.Close()) })
	token, err := morning.MintSubmissionToken(map[string]any{"sub": "circle-courses", "scope": "submit read"})
	require.NoError(t, err)
	fromMorning := c.get("/v1/rubrics").with("Authorization", "Bearer "+token)

	require.Equal(t, 401, c.do(fromMorning).status, "not registered yet")
	verifier, err := platform.NewVerifier([]platform.IssuerConfig{morning.IssuerConfig()}, platform.VerifierOptions{})
	require.NoError(t, err)
	require.Error(t, c.server.Renew(nil, verifier))
	require.Error(t, c.server.Renew([]api.Platform{{Registration: &platform.Registration{}}}, verifier))
	assert.Equal(t, 200, c.do(c.get("/v1/rubrics")).status, "a change that cannot be used leaves all as it was")

	require.NoError(t, c.server.Renew([]api.Platform{{Registration: morning.Registration(rotated)}}, verifier))
	assert.Equal(t, 200, c.do(fromMorning).status)
	assert.Equal(t, 401, c.do(c.get("/v1/rubrics")).status, "no longer registered")
	keys := c.do(call{method: "GET", path: "/.well-known/jwks.json", header: map[string][]string{}}).json(t)["keys"]
	assert.Len(t, keys, 2, "the new key and the former one")
}
