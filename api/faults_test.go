package api_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api/platform/standin"
)

// trouble is one way in which things go wrong.
type trouble struct {
	name   string
	before func(*trial, int) // before each submission, with its number
	late   bool              // receipts are delivered at the end only, each twice, in any order, by another instance
	twice  bool              // every submission is sent three times at once
	batch  bool              // submissions go as batches
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
	for i, how := range troubles() {
		t.Run(how.name, func(t *testing.T) {
			r := startTrial(t, uint64(i))
			r.run(how)
			r.settle()
			sum := r.count()
			fmt.Fprintf(&table, row, how.name, sum.count, sum.arrived, sum.overtaken, sum.lost, sum.duplicated, sum.wrong)
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
	assert.Greater(t, trialPupils*trialRounds*len(troubles()), 500, "some hundred submissions in all")
	t.Log(table.String())
}
