package platform_test

import (
	"context"
	"encoding/base64"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api/platform"
	"squaremark/api/platform/standin"
)

func verifier(t testing.TB, config platform.IssuerConfig, o platform.VerifierOptions) *platform.Verifier {
	t.Helper()
	v, err := platform.NewVerifier([]platform.IssuerConfig{config}, o)
	require.NoError(t, err)
	return v
}

func (c *course) submission(t testing.TB) string {
	t.Helper()
	token, err := c.MintSubmissionToken(map[string]any{"sub": "p-07c2", "quiz": "plots-3"})
	require.NoError(t, err)
	return token
}

// Source: 1EdTech Security Framework 1.0, sections 6.3 and 6.4.
func TestKeySetsAreReadOnceAndAgainAfterRotation(t *testing.T) {
	var clock movable
	c := open(t, standin.Config{Clock: clock.now}, platform.ClientOptions{})
	v := verifier(t, c.IssuerConfig(), platform.VerifierOptions{Clock: clock.now})
	var group sync.WaitGroup
	for range 20 {
		group.Go(func() {
			caller, refusal := v.Verify(context.Background(), c.submission(t))
			assert.Nil(t, refusal)
			assert.Equal(t, "p-07c2", caller.Subject)
			assert.Equal(t, "plots-3", caller.Text("quiz"))
		})
	}
	group.Wait()
	assert.Len(t, c.Seen(standin.KeysEndpoint), 1)
	before := c.submission(t)
	require.NoError(t, c.RotateKey())
	_, refusal := v.Verify(context.Background(), c.submission(t))
	require.NotNil(t, refusal)
	assert.Equal(t, platform.RefusedKey, refusal.Code, "within the gap the set is not read again")
	clock.forward(31 * time.Second)
	_, refusal = v.Verify(context.Background(), c.submission(t))
	assert.Nil(t, refusal)
	_, refusal = v.Verify(context.Background(), before)
	assert.Nil(t, refusal, "the former key is still published")
	assert.Len(t, c.Seen(standin.KeysEndpoint), 2)
}

func TestMadeUpKeyIdentifiersCauseOneReadingPerGap(t *testing.T) {
	var clock movable
	c := open(t, standin.Config{Clock: clock.now}, platform.ClientOptions{})
	v := verifier(t, c.IssuerConfig(), platform.VerifierOptions{Clock: clock.now})
	_, refusal := v.Verify(context.Background(), c.submission(t))
	require.Nil(t, refusal)
	parts := strings.SplitN(c.submission(t), ".", 2)
	for round := range 2 {
		clock.forward(31 * time.Second)
		for i := range 500 {
			header := fmt.Sprintf(`{"alg":"RS256","typ":"JWT","kid":"made-up-%d-%d"}`, round, i)
			_, refusal := v.Verify(context.Background(), encode(header)+"."+parts[1])
			require.NotNil(t, refusal)
			require.Equal(t, platform.RefusedKey, refusal.Code)
		}
		assert.Len(t, c.Seen(standin.KeysEndpoint), round+2)
	}
	_, refusal = v.Verify(context.Background(), c.submission(t))
	assert.Nil(t, refusal, "good tokens are judged all the while")
}

func encode(text string) string { return base64.RawURLEncoding.EncodeToString([]byte(text)) }

// Keys serve from the cache while their address is down, until their time is up; then nothing is let in.
func TestKeySetOutage(t *testing.T) {
	var clock movable
	c := open(t, standin.Config{Clock: clock.now}, platform.ClientOptions{})
	v := verifier(t, c.IssuerConfig(), platform.VerifierOptions{Clock: clock.now})
	_, refusal := v.Verify(context.Background(), c.submission(t))
	require.Nil(t, refusal)
	down := standin.Fault{Status: 500, Body: "CANARY"}
	c.Fail(standin.KeysEndpoint, down, down, down)
	clock.forward(11 * time.Minute) // no longer fresh
	_, refusal = v.Verify(context.Background(), c.submission(t))
	assert.Nil(t, refusal)
	assert.Len(t, c.Seen(standin.KeysEndpoint), 2)
	clock.forward(12 * time.Hour) // no longer kept
	_, refusal = v.Verify(context.Background(), c.submission(t))
	require.NotNil(t, refusal)
	assert.Equal(t, platform.RefusedKeysMissing, refusal.Code)
	assert.True(t, refusal.Temporary())
	assert.NotContains(t, refusal.Text, "CANARY")
	c.Heal(standin.KeysEndpoint)
	clock.forward(31 * time.Second)
	_, refusal = v.Verify(context.Background(), c.submission(t))
	assert.Nil(t, refusal, "and it mends itself")
}

func TestUnusableKeySetAnswers(t *testing.T) {
	for name, fault := range map[string]standin.Fault{
		"huge":     {Status: 200, Body: `{"keys":[` + strings.Repeat(" ", 10<<20) + `]}`},
		"padded":   {Status: 200, Body: `{"keys":[]}` + strings.Repeat(" ", 300<<10)},
		"slow":     {Status: 200, Body: `{"keys":[`, Stall: 3 * time.Second},
		"hanging":  {Delay: 3 * time.Second},
		"html":     {Status: 200, Body: `<html>`},
		"redirect": {Status: 302, Header: map[string]string{"Location": "/jwks"}},
		"broken":   {Reset: true},
		"created":  {Status: 201, Body: `{"keys":[]}`},
	} {
		t.Run(name, func(t *testing.T) {
			c := open(t, standin.Config{}, platform.ClientOptions{})
			v := verifier(t, c.IssuerConfig(), platform.VerifierOptions{Limits: platform.Limits{Total: 300 * time.Millisecond}})
			c.Fail(standin.KeysEndpoint, fault)
			started := time.Now()
			_, refusal := v.Verify(context.Background(), c.submission(t))
			require.NotNil(t, refusal)
			assert.Equal(t, platform.RefusedKeysMissing, refusal.Code)
			assert.Less(t, time.Since(started), 2*time.Second)
			assert.LessOrEqual(t, len(c.Seen(standin.KeysEndpoint)), 2) // a broken idle connection may be tried anew
		})
	}
}

func TestKeySetOnThisMachineNeedsItsSwitch(t *testing.T) {
	c := open(t, standin.Config{}, platform.ClientOptions{})
	config := c.IssuerConfig()
	config.AllowLoopback = false
	_, refusal := verifier(t, config, platform.VerifierOptions{}).Verify(context.Background(), c.submission(t))
	require.NotNil(t, refusal)
	assert.Equal(t, platform.RefusedKeysMissing, refusal.Code)
	assert.Empty(t, c.Seen(standin.KeysEndpoint))
}

func TestWaitingForKeysEndsWithTheCaller(t *testing.T) {
	c := open(t, standin.Config{}, platform.ClientOptions{})
	c.Fail(standin.KeysEndpoint, standin.Fault{Delay: 400 * time.Millisecond})
	v := verifier(t, c.IssuerConfig(), platform.VerifierOptions{})
	ctx, cancel := context.WithTimeout(context.Background(), 50*time.Millisecond)
	defer cancel()
	_, refusal := v.Verify(ctx, c.submission(t))
	require.NotNil(t, refusal)
	assert.True(t, refusal.Temporary())
	// The reading goes on for the next caller, who waits for it.
	_, refusal = v.Verify(context.Background(), c.submission(t))
	assert.Nil(t, refusal)
	assert.Len(t, c.Seen(standin.KeysEndpoint), 1)
}

// Rules for kinds of token exclude each other: our own assertion is no submission token, and the other way round.
func TestKindsOfTokenDoNotMix(t *testing.T) {
	c := open(t, standin.Config{}, platform.ClientOptions{})
	v := verifier(t, c.IssuerConfig(), platform.VerifierOptions{})
	assertion, err := keys(t).Current().Sign("JWT", map[string]any{
		"iss": "client-circle", "sub": "client-circle", "aud": c.URL() + "/token", "iat": time.Now().Unix(), "exp": time.Now().Unix() + 60,
	})
	require.NoError(t, err)
	_, refusal := v.Verify(context.Background(), assertion)
	require.NotNil(t, refusal)
	assert.Equal(t, platform.RefusedIssuer, refusal.Code)
}
