package platform_test

import (
	"context"
	"math/big"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"go.uber.org/zap"
	"go.uber.org/zap/zapcore"
	"go.uber.org/zap/zaptest/observer"

	"squaremark/api/platform"
	"squaremark/api/platform/standin"
)

// toolKeys is the service's key set in all tests that talk over HTTP.
var toolKeys = sync.OnceValues(func() (*platform.KeySet, error) {
	key, err := platform.GenerateSigningKey(2048)
	if err != nil {
		return nil, err
	}
	return platform.NewKeySet(key)
})

// platformKey is the stand-in's own key where a test does not care.
var platformKey = sync.OnceValues(func() (*platform.SigningKey, error) { return platform.GenerateSigningKey(2048) })

func keys(t testing.TB) *platform.KeySet {
	t.Helper()
	set, err := toolKeys()
	require.NoError(t, err)
	return set
}

// quick retries without making the tests slow.
func quick() platform.RetryPolicy {
	return platform.RetryPolicy{Attempts: 4, First: time.Millisecond, Longest: 5 * time.Millisecond, Total: 10 * time.Second}
}

// course is a stand-in platform with one garden-plot quiz, and a client of this service.
type course struct {
	*standin.Platform
	registration *platform.Registration
	item         string
	client       *platform.Client
	stamps       *platform.Stamps
	log          *observer.ObservedLogs
}

func open(t testing.TB, config standin.Config, options platform.ClientOptions) *course {
	t.Helper()
	published, err := keys(t).PublicJWKS()
	require.NoError(t, err)
	if config.Key == nil {
		config.Key, err = platformKey()
		require.NoError(t, err)
	}
	if config.ToolKeySetURL == "" {
		config.ToolKeySet = published
	}
	p, err := standin.Start(config)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, p.Close()) })
	core, log := observer.New(zapcore.DebugLevel)
	options.Log = zap.New(core)
	if options.Retry == (platform.RetryPolicy{}) {
		options.Retry = quick()
	}
	return &course{
		Platform: p, registration: p.Registration(keys(t)),
		item:   p.AddLineItem(standin.LineItem{ID: "plots-3", Label: "Garden plots 3", Maximum: big.NewRat(20, 1)}),
		client: platform.NewClient(options), stamps: platform.NewStamps(nil), log: log,
	}
}

// mark is a final score of a pupil, stamped now.
func (c *course) mark(user string, given, maximum int64) platform.Score {
	return platform.Score{
		UserID: user, ScoreGiven: big.NewRat(given, 1), ScoreMaximum: big.NewRat(maximum, 1),
		ActivityProgress: platform.ActivityCompleted, GradingProgress: platform.GradingFullyGraded,
		Timestamp: c.stamps.Next(), Comment: "Line 3: the square of x - 5 is missing its middle term.",
	}
}

func (c *course) post(t testing.TB, score platform.Score) platform.Outcome {
	t.Helper()
	outcome, err := c.client.PostScore(context.Background(), c.registration, c.item, score)
	require.NoError(t, err)
	return outcome
}
