package platform_test

import (
	"context"
	"fmt"
	"math/big"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api/platform"
	"squaremark/api/platform/standin"
)

func TestScoreReachesTheGradebook(t *testing.T) {
	c := open(t, standin.Config{DeploymentID: "dep-3"}, platform.ClientOptions{})
	score := c.mark("p-07c2", 6, 9)
	score.Submission.SubmittedAt = time.Date(2031, 5, 14, 9, 20, 0, 0, time.UTC)
	outcome := c.post(t, score)
	assert.Equal(t, platform.Outcome{State: platform.Delivered, Status: 204, Attempts: 1, Reason: "taken"}, outcome)
	book := c.Gradebook()
	require.Len(t, book, 1)
	assert.Equal(t, "p-07c2", book[0].UserID)
	assert.Zero(t, book[0].Shown.Cmp(big.NewRat(40, 3)), "6 of 9 is 13 1/3 of 20, exactly")
	assert.Equal(t, score.Comment, book[0].Score.Comment)

	request := c.Seen(standin.ScoresEndpoint)[0]
	assert.Equal(t, "/items/plots-3/scores", request.Target)
	assert.Equal(t, platform.ScoreMediaType, request.Header.Get("Content-Type"))
	assert.True(t, strings.HasPrefix(request.Header.Get("Authorization"), "Bearer "))
	assert.Empty(t, request.Header.Get("Cookie"))
	assert.NotContains(t, request.Target, "p-07c2")
	token := c.Seen(standin.TokenEndpoint)[0]
	assert.Empty(t, token.Header.Get("Authorization"))
	assert.Equal(t, "application/x-www-form-urlencoded", token.Header.Get("Content-Type"))

	// A score of thirds, an overshooting one, a zero, and one that clears.
	thirds := c.mark("p-11aa", 0, 10)
	thirds.ScoreGiven = big.NewRat(10, 3)
	clear := c.mark("p-22bb", 0, 1)
	clear.ScoreGiven, clear.ScoreMaximum = nil, nil
	clear.GradingProgress = platform.GradingPendingManual
	for _, row := range []struct {
		score platform.Score
		shown *big.Rat
	}{
		{thirds, big.NewRat(20, 3)}, {c.mark("p-33cc", 11, 10), big.NewRat(22, 1)},
		{c.mark("p-44dd", 0, 10), new(big.Rat)}, {clear, nil},
	} {
		assert.Equal(t, platform.Delivered, c.post(t, row.score).State)
		for _, entry := range c.Gradebook() {
			if entry.UserID == row.score.UserID {
				assert.Equal(t, row.shown == nil, entry.Shown == nil)
				assert.True(t, row.shown == nil || entry.Shown.Cmp(row.shown) == 0)
			}
		}
	}
	assert.Len(t, c.Seen(standin.TokenEndpoint), 1)
}

func TestFiftyParallelPostsMakeOneTokenCall(t *testing.T) {
	c := open(t, standin.Config{}, platform.ClientOptions{})
	c.Fail(standin.TokenEndpoint, standin.Fault{Delay: 50 * time.Millisecond})
	var group sync.WaitGroup
	for i := range 50 {
		group.Go(func() {
			outcome, err := c.client.PostScore(context.Background(), c.registration, c.item, c.mark(fmt.Sprintf("p-%04d", i), 5, 9))
			assert.NoError(t, err)
			assert.Equal(t, platform.Delivered, outcome.State)
		})
	}
	group.Wait()
	assert.Len(t, c.Gradebook(), 50)
	assert.Len(t, c.Seen(standin.TokenEndpoint), 1)
}

// A stale answer ends the matter; a later stamp is taken again.
func TestOlderScoresAreStale(t *testing.T) {
	c := open(t, standin.Config{}, platform.ClientOptions{})
	older := c.mark("p-07c2", 5, 9)
	assert.Equal(t, platform.Delivered, c.post(t, c.mark("p-07c2", 7, 9)).State)
	assert.Equal(t, platform.Stale, c.post(t, older).State)
	same := c.mark("p-07c2", 8, 9)
	assert.Equal(t, platform.Delivered, c.post(t, same).State)
	assert.Equal(t, platform.Stale, c.post(t, same).State)
	assert.Equal(t, 2, c.Gradebook()[0].Updates)
}

func TestPassingTroubleIsRepeatedWithTheSameBytes(t *testing.T) {
	for name, faults := range map[string][]standin.Fault{
		"statuses": {{Status: 503}, {Status: 502}, {Status: 500}},
		"slowdown": {{Status: 429, Header: map[string]string{"Retry-After": "0"}}},
		"breaks":   {{Reset: true}, {Reset: true}},
		"504":      {{Status: 504}},
	} {
		t.Run(name, func(t *testing.T) {
			c := open(t, standin.Config{}, platform.ClientOptions{})
			c.Fail(standin.ScoresEndpoint, faults...)
			outcome := c.post(t, c.mark("p-07c2", 5, 9))
			assert.Equal(t, platform.Delivered, outcome.State)
			assert.Equal(t, len(faults)+1, outcome.Attempts)
			seen := c.Seen(standin.ScoresEndpoint)
			require.Len(t, seen, len(faults)+1)
			for _, request := range seen {
				assert.Equal(t, string(seen[0].Body), string(request.Body))
			}
			assert.Equal(t, 1, c.Gradebook()[0].Updates)
			assert.Len(t, c.Seen(standin.TokenEndpoint), 1)
		})
	}
}

// The platform took the score but its answer was lost: the repeat is "not newer", and that is delivery.
func TestLostAnswerCountsAsDelivered(t *testing.T) {
	for name, fault := range map[string]standin.Fault{
		"reset":    {Work: true, Reset: true},
		"trouble":  {Work: true, Status: 502},
		"time-out": {Work: true, Status: 200, Delay: 400 * time.Millisecond},
	} {
		t.Run(name, func(t *testing.T) {
			c := open(t, standin.Config{}, platform.ClientOptions{Limits: platform.Limits{Header: 200 * time.Millisecond}})
			if name == "time-out" {
				// The work is done after the delay; by then the client has sent again, so either message may come first.
				c.Fail(standin.ScoresEndpoint, fault, standin.Fault{Delay: 100 * time.Millisecond})
			} else {
				c.Fail(standin.ScoresEndpoint, fault)
			}
			outcome := c.post(t, c.mark("p-07c2", 5, 9))
			assert.Equal(t, platform.Delivered, outcome.State)
			assert.GreaterOrEqual(t, outcome.Attempts, 2)
			assert.Equal(t, 1, c.Gradebook()[0].Updates)
		})
	}
}

func TestPermanentAnswersAreNotRepeated(t *testing.T) {
	for _, status := range []int{300, 301, 302, 303, 307, 308, 400, 403, 404, 405, 410, 413, 415, 418, 422} {
		c := open(t, standin.Config{}, platform.ClientOptions{})
		c.Fail(standin.ScoresEndpoint, standin.Fault{Status: status})
		outcome := c.post(t, c.mark("p-07c2", 5, 9))
		assert.Equal(t, platform.Refused, outcome.State, "status %d", status)
		assert.Equal(t, status, outcome.Status)
		assert.Equal(t, 1, outcome.Attempts)
		assert.Equal(t, status < 400, strings.Contains(outcome.Reason, "redirect"), "status %d", status)
		assert.Len(t, c.Seen(standin.ScoresEndpoint), 1)
	}
	c := open(t, standin.Config{}, platform.ClientOptions{})
	outcome, err := c.client.PostScore(context.Background(), c.registration, c.URL()+"/items/none", c.mark("p-07c2", 5, 9))
	require.NoError(t, err)
	assert.Equal(t, platform.Refused, outcome.State)
	assert.Equal(t, 404, outcome.Status)
}

func TestTroubleThatLastsIsForTheCallerToRepeat(t *testing.T) {
	c := open(t, standin.Config{}, platform.ClientOptions{})
	for range 4 {
		c.Fail(standin.ScoresEndpoint, standin.Fault{Status: 500})
	}
	outcome := c.post(t, c.mark("p-07c2", 5, 9))
	assert.Equal(t, platform.Retry, outcome.State)
	assert.Equal(t, 4, outcome.Attempts)

	// A wait beyond the deadline is not waited for, but handed on.
	c.Fail(standin.ScoresEndpoint, standin.Fault{Status: 503, Header: map[string]string{"Retry-After": "120"}})
	started := time.Now()
	outcome = c.post(t, c.mark("p-07c2", 5, 9))
	assert.Equal(t, platform.Retry, outcome.State)
	assert.Equal(t, 120*time.Second, outcome.RetryAfter)
	assert.Equal(t, 1, outcome.Attempts)
	assert.Less(t, time.Since(started), 2*time.Second)
}

func TestRetryAfterIsWaitedFor(t *testing.T) {
	c := open(t, standin.Config{}, platform.ClientOptions{})
	c.Fail(standin.ScoresEndpoint, standin.Fault{Status: 429, Header: map[string]string{"Retry-After": "1"}})
	assert.Equal(t, platform.Delivered, c.post(t, c.mark("p-07c2", 5, 9)).State)
	seen := c.Seen(standin.ScoresEndpoint)
	require.Len(t, seen, 2)
	assert.GreaterOrEqual(t, seen[1].At.Sub(seen[0].At), time.Second)
}

func TestNothingIsSentWhenTheInputBreaksARule(t *testing.T) {
	c := open(t, standin.Config{}, platform.ClientOptions{})
	bad := c.mark("", 5, 9)
	cases := map[string]func() (platform.Outcome, error){
		"score": func() (platform.Outcome, error) {
			return c.client.PostScore(context.Background(), c.registration, c.item, bad)
		},
		"registration": func() (platform.Outcome, error) {
			return c.client.PostScore(context.Background(), nil, c.item, c.mark("p", 1, 1))
		},
		"other-origin": func() (platform.Outcome, error) {
			return c.client.PostScore(context.Background(), c.registration, "http://127.0.0.1:9/items/1", c.mark("p", 1, 1))
		},
		"user-info": func() (platform.Outcome, error) {
			return c.client.PostScore(context.Background(), c.registration, strings.Replace(c.item, "http://", "http://x@", 1), c.mark("p", 1, 1))
		},
		"incomplete-registration": func() (platform.Outcome, error) {
			r := *c.registration
			r.TokenAudience = ""
			return c.client.PostScore(context.Background(), &r, c.item, c.mark("p", 1, 1))
		},
		"plain-http": func() (platform.Outcome, error) {
			r := *c.registration
			r.AllowPlainHTTP = false
			return c.client.PostScore(context.Background(), &r, c.item, c.mark("p", 1, 1))
		},
	}
	for name, call := range cases {
		outcome, err := call()
		assert.Error(t, err, name)
		assert.Equal(t, platform.Refused, outcome.State, name)
		assert.Zero(t, outcome.Attempts, name)
	}
	assert.Empty(t, c.Seen(standin.TokenEndpoint))
}
