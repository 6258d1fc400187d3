package api_test

import (
	"fmt"
	"math/rand/v2"
	"net/http"
	"slices"
	"strings"
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

// trouble is one way in which things go wrong.
type trouble struct {
	name   string
	before func(*trial, int) // before each submission, with its number
	late   bool              // receipts are delivered at the end only, each twice, in any order, by another instance
	twice  bool              // every submission is sent three times at once
	batch  bool              // submissions go as batches
}

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

// reckoning is what the platform's gradebook shows at the end.
type reckoning struct{ count, arrived, overtaken, lost, duplicated, wrong int }

func faultAt(at standin.Endpoint, every int, faults ...standin.Fault) func(*trial, int) {
	return func(t *trial, number int) {
		if number%every == 0 {
			t.platform.Fail(at, faults...)
		}
	}
}

func revoking(next func(*trial, int)) func(*trial, int) {
	return func(t *trial, number int) {
		t.platform.RevokeTokens()
		next(t, number)
	}
}

func troubles() []trouble {
	html := map[string]string{"Content-Type": "text/html"}
	slow := 400 * time.Millisecond // longer than the service waits
	f := func(fault standin.Fault) []standin.Fault { return []standin.Fault{fault, fault} }
	scores, token := standin.ScoresEndpoint, standin.TokenEndpoint
	return []trouble{
		{name: "none", before: func(*trial, int) {}},
		{name: "no answer in time", before: faultAt(scores, 3, standin.Fault{Delay: slow})},
		{name: "taken, answer too late", before: faultAt(scores, 3, standin.Fault{Delay: slow, Work: true, Status: 200})},
		{name: "no access token in time", before: revoking(faultAt(token, 4, standin.Fault{Delay: slow}))},
		{name: "connection broken", before: faultAt(scores, 2, f(standin.Fault{Reset: true})...)},
		{name: "taken, connection broken", before: faultAt(scores, 2, standin.Fault{Work: true, Reset: true})},
		{name: "taken, body stalls", before: faultAt(scores, 4, standin.Fault{Work: true, Status: 200, Body: "{", Stall: slow})},
		{name: "not taken, body stalls", before: faultAt(scores, 4, standin.Fault{Status: 503, Body: "{", Stall: slow})},
		{name: "500", before: faultAt(scores, 2, f(standin.Fault{Status: 500})...)},
		{name: "taken, 500", before: faultAt(scores, 2, standin.Fault{Work: true, Status: 500})},
		{name: "429 with Retry-After", before: faultAt(scores, 3, standin.Fault{Status: 429, Header: map[string]string{"Retry-After": "0"}}, standin.Fault{Status: 429})},
		{name: "401", before: faultAt(scores, 2, f(standin.Fault{Status: 401})...)},
		{name: "tokens revoked", before: revoking(func(*trial, int) {})},
		{name: "302 elsewhere", before: faultAt(scores, 3, standin.Fault{Status: 302, Header: map[string]string{"Location": "https://elsewhere.example/"}})},
		{name: "token endpoint shows a page", before: revoking(faultAt(token, 3, standin.Fault{Status: 200, Header: html, Body: "<html>" + wordMarker}))},
		{name: "key set shows a page", before: func(t *trial, number int) {
			if number%8 == 0 {
				assert.NoError(t.t, t.platform.RotateKey())
				t.platform.Fail(standin.KeysEndpoint, standin.Fault{Status: 200, Header: html, Body: "<html>"})
			}
		}},
		{name: "platform changes its keys", before: func(t *trial, number int) {
			if number%5 == 0 {
				assert.NoError(t.t, t.platform.RotateKey())
			}
		}},
		{name: "service changes its keys", late: true, before: func(t *trial, number int) {
			faultAt(scores, 3, standin.Fault{Status: 403})(t, number)
			if number == trialPupils*trialRounds/2 {
				t.rotate()
			}
		}},
		{name: "everything sent three times", twice: true, before: faultAt(scores, 3, standin.Fault{Status: 503})},
		{name: "receipts late, twice, shuffled", late: true, before: faultAt(scores, 1, standin.Fault{Status: 502}, standin.Fault{Reset: true})},
		{name: "anything, at random", before: anything},
		{name: "anything, in batches", batch: true, late: true, before: anything},
	}
}

// anything draws a fault for the scores, and now and then one for access tokens.
func anything(t *trial, _ int) {
	t.mu.Lock()
	which, other := t.random.IntN(8), t.random.IntN(6)
	t.mu.Unlock()
	if fault := []standin.Fault{
		{}, {Reset: true}, {Work: true, Reset: true}, {Status: 500}, {Work: true, Status: 502}, {Status: 403}, {Status: 429}, {Delay: 350 * time.Millisecond, Work: true, Status: 200},
	}[which]; which > 0 {
		t.platform.Fail(standin.ScoresEndpoint, fault)
	}
	if other == 0 {
		t.platform.RevokeTokens()
		t.platform.Fail(standin.TokenEndpoint, standin.Fault{Status: 500})
	}
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

// count compares the gradebook with what the service took charge of.
func (r *trial) count() reckoning {
	sum := reckoning{count: len(r.accepted)}
	truth := map[string]acceptance{}
	for _, a := range r.accepted {
		if a.stamp.After(truth[a.pupil].stamp) {
			truth[a.pupil] = a
		}
	}
	cells := map[string]standin.Entry{}
	for _, entry := range r.platform.Gradebook() {
		cells[entry.UserID] = entry
		for i := 1; i < len(entry.Stamps); i++ {
			if entry.Stamps[i].Equal(entry.Stamps[i-1]) {
				sum.duplicated++
			} else if entry.Stamps[i].Before(entry.Stamps[i-1]) {
				sum.wrong++
			}
		}
	}
	for _, a := range r.accepted {
		switch stamps := cells[a.pupil].Stamps; {
		case slices.ContainsFunc(stamps, a.stamp.Equal):
			sum.arrived++
		case len(stamps) > 0 && stamps[len(stamps)-1].After(a.stamp):
			sum.overtaken++
		default:
			sum.lost++
		}
	}
	for pupil, a := range truth {
		score := cells[pupil].Score
		if !score.Timestamp.Equal(a.stamp) || score.ScoreGiven == nil || score.ScoreGiven.RatString() != a.marks {
			sum.wrong++
		}
	}
	return sum
}

// Whatever goes wrong between service and platform, every score that was accepted arrives, once, and the gradebook
// ends with the newest marks of every pupil; and nothing of a pupil gets into the logs.
func TestFaultTable(t *testing.T) {
	table := strings.Builder{}
	row := "%-32s %6v %8v %10v %5v %11v %12v\n"
	fmt.Fprintf(&table, "\n"+row, "fault", "count", "arrived", "overtaken", "lost", "duplicated", "wrong order")
	total := 0
	for i, how := range troubles() {
		t.Run(how.name, func(t *testing.T) {
			r := startTrial(t, uint64(i))
			r.run(how)
			r.settle()
			sum := r.count()
			fmt.Fprintf(&table, row, how.name, sum.count, sum.arrived, sum.overtaken, sum.lost, sum.duplicated, sum.wrong)
			total += sum.count
			copies := 1
			if how.twice {
				copies = 3
			}
			assert.Equal(t, trialPupils*trialRounds*copies, sum.count)
			assert.Equal(t, sum.count, sum.arrived+sum.overtaken)
			assert.Zero(t, sum.lost)
			assert.Zero(t, sum.duplicated)
			assert.Zero(t, sum.wrong)
			if !how.late && !how.twice {
				assert.Equal(t, sum.count, sum.arrived, "each message itself arrives where none is held back")
			}
			output := r.logs.String()
			require.NotEmpty(t, output)
			for _, secret := range append(r.secrets, answerMarker, pupilMarker, itemMarker, wordMarker) {
				assert.NotContains(t, output, secret)
			}
		})
	}
	assert.Greater(t, total, 500)
	t.Log(table.String())
}
