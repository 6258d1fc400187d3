package api_test

import (
	"fmt"
	"math/rand/v2"
	"net/http"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api"
	"squaremark/api/platform"
	"squaremark/api/platform/standin"
)

// The trial: a class of pupils hands in several times each, while something goes wrong.
const (
	trialPupils = 6
	trialRounds = 4
)

// trial is one run.
type trial struct {
	*circle
	issuer platform.IssuerConfig
	keys   [2]*platform.SigningKey
	random *rand.Rand

	mu       sync.Mutex
	handed   int
	accepted []acceptance
	receipts []string
	secrets  []string // texts that no log may hold
}

// acceptance is a score that the service took charge of.
type acceptance struct {
	pupil, marks string
	stamp        time.Time
}

// nextServiceKey is what the service changes to.
var nextServiceKey = sync.OnceValues(func() (*platform.SigningKey, error) { return platform.GenerateSigningKey(2048) })

func startTrial(t *testing.T, seed uint64) *trial {
	first, err := serviceKeys()
	require.NoError(t, err)
	second, err := nextServiceKey()
	require.NoError(t, err)
	r := &trial{random: rand.New(rand.NewPCG(seed, 7)), keys: [2]*platform.SigningKey{first.Current(), second}}
	both, err := platform.NewKeySet(r.keys[0], r.keys[1])
	require.NoError(t, err)
	public, err := both.PublicJWKS()
	require.NoError(t, err)
	key, err := platformKey()
	require.NoError(t, err)
	school, err := standin.Start(standin.Config{Key: key, ToolKeySet: public})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, school.Close()) })
	r.issuer = school.IssuerConfig()
	r.issuer.KeysGap = time.Millisecond
	r.circle = newCircle(t, func(c *api.Config) {
		c.Platforms = []api.Platform{{Registration: school.Registration(both)}}
		c.Verifier, err = platform.NewVerifier([]platform.IssuerConfig{r.issuer}, platform.VerifierOptions{})
		require.NoError(t, err)
		c.Sender = platform.NewClient(platform.ClientOptions{
			Log: c.Log, Limits: platform.Limits{Header: 250 * time.Millisecond},
			Retry: platform.RetryPolicy{Attempts: 2, First: time.Millisecond, Total: 5 * time.Second},
		})
		c.Limits.PerSecond, c.Limits.Burst = 1e6, 1e6
	})
	r.platform = school
	r.lineItem = school.AddLineItem(standin.LineItem{ID: itemMarker, Label: wordMarker, Maximum: big10})
	return r
}

// rotate makes the service sign with its other key; receipts of the former one stay good.
func (r *trial) rotate() {
	keys, err := platform.NewKeySet(r.keys[1], r.keys[0])
	assert.NoError(r.t, err)
	registration := *r.config.Platforms[0].Registration
	registration.Keys = keys
	assert.NoError(r.t, r.server.Renew([]api.Platform{{Registration: &registration}}, r.config.Verifier))
}

// work is what a pupil hands in in one round: some questions are answered, others are not, so the marks differ.
func (r *trial) work(pupil string, round int) map[string]any {
	answers := map[string]any{}
	for i, question := range []string{"beds", "fence", "hedge"} {
		if (round+len(pupil)+int(pupil[len(pupil)-1]))>>i&1 == 1 {
			answers[question] = answerMarker
		}
	}
	return r.submission(map[string]any{"pupil": pupil, "answers": answers})
}

// number counts submissions.
func (r *trial) number() int {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.handed++
	return r.handed - 1
}

// handIn sends a submission until the service has taken charge of its score: it is delivered, or there is a receipt.
func (r *trial) handIn(how trouble, pupil string, round int) {
	for range 20 {
		k := r.submit(r.work(pupil, round))
		r.keep(k.header.Get("Authorization"))
		answer := r.do(k)
		body := answer.json(r.t)
		receipt, _ := body["receipt"].(string)
		switch {
		case answer.status == http.StatusOK:
			r.accept(pupil, body)
			return
		case receipt != "":
			r.accept(pupil, body["result"].(map[string]any))
			r.keep(receipt)
			if how.late {
				r.mu.Lock()
				r.receipts = append(r.receipts, receipt)
				r.mu.Unlock()
			} else {
				r.redeem(receipt)
			}
			return
		}
		time.Sleep(2 * time.Millisecond) // the keys of the platform cannot be read now: nothing was marked
	}
	assert.Fail(r.t, "a submission is never taken")
}

func (r *trial) accept(pupil string, result map[string]any) {
	stamp, err := time.Parse(time.RFC3339Nano, result["delivery"].(map[string]any)["scoreTimestamp"].(string))
	assert.NoError(r.t, err)
	r.mu.Lock()
	defer r.mu.Unlock()
	r.accepted = append(r.accepted, acceptance{pupil, result["marks"].(string), stamp})
}

func (r *trial) keep(secret string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.secrets = append(r.secrets, secret[len(secret)-40:])
}

// redeem sends a receipt until it is delivered.
func (r *trial) redeem(receipt string) {
	for range 20 {
		if r.do(r.redemption(receipt)).status == http.StatusOK {
			return
		}
		time.Sleep(2 * time.Millisecond)
	}
	assert.Fail(r.t, "a receipt is never delivered")
}

// handInTogether sends a round of the whole class as one batch.
func (r *trial) handInTogether(how trouble, round int) {
	var lines []string
	for i := range trialPupils {
		how.before(r, r.number())
		lines = append(lines, r.line(r.work(fmt.Sprintf("%s%d", pupilMarker, i), round)))
	}
	for i, reply := range r.do(r.batch(lines...)).lines(r.t) {
		pupil := fmt.Sprintf("%s%d", pupilMarker, i)
		if reply.Status == http.StatusOK {
			r.accept(pupil, reply.Result)
			continue
		}
		receipt, ok := reply.Problem["receipt"].(string)
		require.True(r.t, ok, "%v", reply.Problem)
		r.accept(pupil, reply.Problem["result"].(map[string]any))
		r.receipts = append(r.receipts, receipt)
	}
}

func (r *trial) run(how trouble) {
	if how.batch {
		for round := range trialRounds {
			r.handInTogether(how, round)
		}
		return
	}
	var class sync.WaitGroup
	for i := range trialPupils {
		pupil := fmt.Sprintf("%s%d", pupilMarker, i)
		class.Go(func() {
			for round := range trialRounds {
				how.before(r, r.number())
				copies := 1
				if how.twice {
					copies = 3
				}
				var same sync.WaitGroup
				for range copies {
					same.Go(func() { r.handIn(how, pupil, round) })
				}
				same.Wait()
			}
		})
	}
	class.Wait()
}

// settle delivers what is left, in any order and twice, through an instance that has seen none of it.
func (r *trial) settle() {
	r.platform.Heal(standin.ScoresEndpoint)
	r.platform.Heal(standin.TokenEndpoint)
	if len(r.receipts) == 0 {
		return
	}
	fresh, err := api.New(r.config)
	require.NoError(r.t, err)
	other := *r.circle
	other.server = fresh
	other.serve()
	again := slices.Concat(r.receipts, r.receipts)
	r.random.Shuffle(len(again), func(i, j int) { again[i], again[j] = again[j], again[i] })
	for _, receipt := range again {
		answer := other.do(other.redemption(receipt))
		assert.Equal(r.t, http.StatusOK, answer.status, "%s", answer.body)
	}
}
