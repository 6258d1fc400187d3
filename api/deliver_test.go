package api

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"squaremark/api/contract"
	"squaremark/api/platform"
)

func TestOutcomesInTheWordsOfTheContract(t *testing.T) {
	for _, row := range []struct {
		outcome platform.Outcome
		err     error
		state   contract.DeliveryState
		class   contract.DeliveryStatusClass
		status  int // of the answer; 0 for a success
		wait    string
	}{
		{platform.Outcome{State: platform.Delivered, Status: 204}, nil, contract.Delivered, contract.Status2Xx, 0, ""},
		{platform.Outcome{State: platform.Stale, Status: 409}, nil, contract.Superseded, contract.Status4Xx, 0, ""},
		{platform.Outcome{State: platform.Refused, Status: 404}, nil, contract.Refused, contract.Status4Xx, 502, ""},
		{platform.Outcome{State: platform.Refused, Status: 302}, nil, contract.Refused, contract.Status3Xx, 502, ""},
		{platform.Outcome{State: platform.Refused}, errors.New("rule"), contract.Refused, contract.StatusNone, 502, ""},
		{platform.Outcome{State: platform.Retry, Status: 503, RetryAfter: 1500 * time.Millisecond}, nil, contract.Delayed, contract.Status5Xx, 503, "2"},
		{platform.Outcome{State: platform.Retry, Status: 429}, nil, contract.Delayed, contract.Status4Xx, 503, ""},
		{platform.Outcome{State: platform.Retry}, nil, contract.Unanswered, contract.StatusNone, 504, ""},
		{platform.Outcome{State: "something new", Status: 200}, nil, contract.Refused, contract.Status2Xx, 502, ""},
	} {
		d := delivery(contract.LineItem, row.outcome, row.err)
		assert.Equal(t, row.state, d.State, row.outcome)
		assert.Equal(t, row.class, d.StatusClass, row.outcome)
		p := deliveryProblem(contract.MarkedSubmission{Delivery: d}, "")
		if row.status == 0 {
			assert.Nil(t, p)
			continue
		}
		assert.Equal(t, row.status, p.info().Status, row.outcome)
		assert.Equal(t, row.wait, p.Header.Get("Retry-After"), row.outcome)
		assert.Equal(t, d, p.Result.Delivery)
	}
}

func TestFittedNeverExceedsTheLimit(t *testing.T) {
	for count := range 40 {
		sentences := []string{}
		for i := range count {
			sentences = append(sentences, strings.Repeat("ü", 1+i*3)+".")
		}
		assert.LessOrEqual(t, len([]rune(fitted(sentences, 300))), 300)
	}
	assert.Equal(t, "One. Two.", fitted([]string{"One.", "Two."}, 300))
	assert.Equal(t, "(1 more in the full result.)", fitted([]string{strings.Repeat("x", 400)}, 300))
}
