package api_test

import (
	"encoding/json"
	"math/big"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api"
	"squaremark/api/platform"
	"squaremark/api/platform/standin"
)

// redemption is the request that has a receipt delivered.
func (c *circle) redemption(receipt string) call {
	raw, err := json.Marshal(map[string]any{"receipt": receipt})
	require.NoError(c.t, err)
	k := c.submit(string(raw))
	k.path = "/v1/receipts"
	return k
}

// receipt is a good receipt for a score of p-07c2 on the circle's line item.
func (c *circle) receipt() string {
	return c.receiptBy(c.config.Platforms[0].Registration, c.lineItem, time.Hour, nil)
}

func (c *circle) receiptBy(r *platform.Registration, lineItem string, life time.Duration, clock platform.Clock) string {
	all, err := platform.NewReceipts(r, life, clock)
	require.NoError(c.t, err)
	text, err := all.Sign(platform.Receipt{LineItem: lineItem, Score: platform.Score{
		UserID: "p-07c2", ScoreGiven: big.NewRat(5, 1), ScoreMaximum: big.NewRat(7, 1),
		ActivityProgress: platform.ActivityCompleted, GradingProgress: platform.GradingFullyGraded,
		Timestamp: time.Now(), Comment: "hedge: The last line is missing.",
	}})
	require.NoError(c.t, err)
	return text
}

func redeemed(c *circle) call { return c.redemption(c.receipt()) }

// receiptRows are the rows of the status table for receipts, the threats to them among these.
func receiptRows() []row {
	early := func() time.Time { return time.Now().Add(-3 * time.Hour) }
	foreign := func(c *circle) call {
		other := *c.config.Platforms[0].Registration
		other.Issuer = "https://other.example"
		return c.redemption(c.receiptBy(&other, c.lineItem, time.Hour, nil))
	}
	stranger := func(c *circle) call {
		key, err := platform.GenerateSigningKey(2048)
		require.NoError(c.t, err)
		keys, err := platform.NewKeySet(key)
		require.NoError(c.t, err)
		other := *c.config.Platforms[0].Registration
		other.Keys = keys
		return c.redemption(c.receiptBy(&other, c.lineItem, time.Hour, nil))
	}
	tampered := func(c *circle) call {
		mine, other := strings.Split(c.receipt(), "."), strings.Split(c.receipt(), ".")
		return c.redemption(mine[0] + "." + other[1] + "." + mine[2])
	}
	replayed := func(c *circle) call {
		k := redeemed(c)
		c.do(k)
		return k
	}
	superseded := func(c *circle) call {
		k := redeemed(c)
		c.do(good(c))
		return k
	}
	text := func(body string) func(*circle) call {
		return func(c *circle) call { k := c.submit(body); k.path = "/v1/receipts"; return k }
	}
	two := []standin.Fault{{Status: 500}, {Status: 500}}
	return []row{
		{name: "delivered later", operation: redeem, call: redeemed, status: 200, header: map[string]string{"Cache-Control": "no-store", "Content-Type": "application/json"}},
		{name: "replayed", operation: redeem, call: replayed, status: 200},
		{name: "overtaken by a newer score", operation: redeem, call: superseded, status: 200},
		{name: "for the pupil it is for", operation: redeem, call: withClaims(redeemed, map[string]any{api.PupilClaim: "p-07c2"}), status: 200},
		{name: "not JSON", operation: redeem, call: text("receipt"), status: 400, problem: "malformed-json"},
		{name: "no token", operation: redeem, call: withHeader(redeemed, "Authorization", ""), status: 401, problem: "token-missing"},
		{name: "read only", operation: redeem, call: withClaims(redeemed, map[string]any{"scope": "read"}), status: 403, problem: "scope-missing"},
		{name: "another pupil's", operation: redeem, call: withClaims(redeemed, map[string]any{api.PupilClaim: "p-1e90"}), status: 403, problem: "not-permitted", pointers: []string{"/receipt"}},
		{name: "for another line item than the token", operation: redeem, call: withClaims(redeemed, map[string]any{api.EndpointClaim: map[string]any{"lineitem": "https://circle.example/items/8"}}), status: 403, problem: "not-permitted", pointers: []string{"/receipt"}},
		{name: "pin demanded", operation: redeem, config: func(c *api.Config) { c.Platforms[0].PinnedOnly = true }, call: redeemed, status: 403, problem: "not-permitted"},
		{name: "made for another platform", operation: redeem, call: foreign, status: 403, problem: "not-permitted", pointers: []string{"/receipt"}},
		{name: "line item on an origin that is no longer agreed", operation: redeem, call: func(c *circle) call {
			return c.redemption(c.receiptBy(c.config.Platforms[0].Registration, "https://former.example/items/7", time.Hour, nil))
		}, status: 403, problem: "not-permitted", pointers: []string{"/receipt"}},
		{name: "only HTML wanted", operation: redeem, call: withHeader(redeemed, "Accept", "text/html"), status: 406, problem: "not-acceptable"},
		{name: "too large", operation: redeem, call: text(strings.Repeat(" ", 256<<10+1)), status: 413, problem: "body-too-large"},
		{name: "as a token", operation: redeem, call: withHeader(redeemed, "Content-Type", "application/jwt"), status: 415, problem: "unsupported-media-type"},
		{name: "expired", operation: redeem, call: func(c *circle) call {
			return c.redemption(c.receiptBy(c.config.Platforms[0].Registration, c.lineItem, time.Hour, early))
		}, status: 422, problem: "receipt-refused", pointers: []string{"/receipt"}},
		{name: "parts of two receipts", operation: redeem, call: tampered, status: 422, problem: "receipt-refused", pointers: []string{"/receipt"}},
		{name: "signed by a stranger", operation: redeem, call: stranger, status: 422, problem: "receipt-refused", pointers: []string{"/receipt"}},
		{name: "the bearer token itself", operation: redeem, call: func(c *circle) call { return c.redemption(c.token(nil)) }, status: 422, problem: "receipt-refused"},
		{name: "lives longer than this service allows", operation: redeem, call: func(c *circle) call {
			return c.redemption(c.receiptBy(c.config.Platforms[0].Registration, c.lineItem, 20*24*time.Hour, nil))
		}, status: 422, problem: "receipt-refused"},
		{name: "with more members", operation: redeem, call: text(`{"receipt":"a.b.c","scoreGiven":7}`), status: 422, problem: "invalid-submission", pointers: []string{""}},
		{name: "too often", operation: redeem, config: oneAtATime, arrange: spent("/v1/rubrics"), call: redeemed, status: 429, problem: "too-many-requests"},
		{name: "verifier panics", operation: redeem, config: panicInVerifier, call: redeemed, status: 500, problem: "internal-error"},
		{name: "line item gone", operation: redeem, arrange: failing(standin.ScoresEndpoint, standin.Fault{Status: 410}), call: redeemed, status: 502, problem: "delivery-refused"},
		{name: "trouble lasts", operation: redeem, arrange: failing(standin.ScoresEndpoint, two...), call: redeemed, status: 503, problem: "delivery-delayed"},
		{name: "keys gone", operation: redeem, config: keysGone, call: redeemed, status: 503, problem: "keys-unavailable"},
		{name: "connection breaks", operation: redeem, arrange: failing(standin.ScoresEndpoint, standin.Fault{Reset: true}, standin.Fault{Reset: true}), call: redeemed, status: 504, problem: "delivery-unanswered"},
	}
}

// Delivery fails at one instance; another one, with rotated keys, delivers the receipt: the very same message arrives,
// once, however often the receipt is sent.
func TestAReceiptIsDeliveredByAnotherInstance(t *testing.T) {
	for name, faults := range map[string][]standin.Fault{
		"refused for now (403)": {{Status: 403}}, "down (503)": {{Status: 503}, {Status: 503}}, "no answer (504)": {{Reset: true}, {Reset: true}},
		"taken, but the answer is lost": {{Work: true, Reset: true}, {Reset: true}},
	} {
		t.Run(name, func(t *testing.T) {
			c := newCircle(t)
			c.platform.Fail(standin.ScoresEndpoint, faults...)
			failed := c.do(good(c))
			require.Contains(t, []int{502, 503, 504}, failed.status)
			problem := failed.json(t)
			receipt := problem["receipt"].(string)
			sent := c.platform.Seen(standin.ScoresEndpoint)[0].Body

			key, err := platform.GenerateSigningKey(2048)
			require.NoError(t, err)
			keys, err := platform.NewKeySet(key, c.config.Platforms[0].Registration.Keys.Current())
			require.NoError(t, err)
			other := *c
			other.config.Platforms = append([]api.Platform(nil), c.config.Platforms...)
			registration := *c.config.Platforms[0].Registration
			registration.Keys = keys
			other.config.Platforms[0].Registration = &registration
			other.server, err = api.New(other.config)
			require.NoError(t, err)
			other.serve()
			other.platform.Heal(standin.ScoresEndpoint)
			states := []any{}
			for range 3 {
				answer := other.do(other.redemption(receipt))
				require.Equal(t, http.StatusOK, answer.status, "%s", answer.body)
				delivery := answer.json(t)["delivery"].(map[string]any)
				states = append(states, delivery["state"])
				assert.Equal(t, problem["result"].(map[string]any)["delivery"].(map[string]any)["scoreTimestamp"], delivery["scoreTimestamp"])
			}
			first := "delivered"
			if strings.HasPrefix(name, "taken") {
				first = "superseded"
			}
			assert.Equal(t, []any{first, "superseded", "superseded"}, states)
			for _, request := range c.platform.Seen(standin.ScoresEndpoint) {
				assert.Equal(t, string(sent), string(request.Body), "the very same bytes")
			}
			book := c.platform.Gradebook()
			require.Len(t, book, 1)
			assert.Equal(t, 1, book[0].Updates)
			assert.Equal(t, problem["result"].(map[string]any)["marks"], book[0].Score.ScoreGiven.RatString())
		})
	}
}

// A receipt that comes after a newer score changes nothing.
func TestAnOldReceiptDoesNotUndoARegrade(t *testing.T) {
	c := newCircle(t)
	c.platform.Fail(standin.ScoresEndpoint, standin.Fault{Status: 403})
	receipt := c.do(c.submit(c.submission(map[string]any{"answers": map[string]any{}}))).json(t)["receipt"].(string)
	require.Equal(t, 200, c.do(good(c)).status)
	before := c.platform.Gradebook()[0].Score
	answer := c.do(c.redemption(receipt)).json(t)
	assert.Equal(t, "superseded", answer["delivery"].(map[string]any)["state"])
	assert.Equal(t, before, c.platform.Gradebook()[0].Score)
}

// Only a score that could be sent has a receipt, and a success has none.
func TestWhenThereIsAReceipt(t *testing.T) {
	c := newCircle(t)
	assert.NotContains(t, c.do(good(c)).json(t), "receipt")
	c.platform.Fail(standin.HooksEndpoint, standin.Fault{Status: 400})
	failed := c.do(changed(map[string]any{"target": map[string]any{"webhook": hookName}})(c))
	assert.Equal(t, 502, failed.status)
	assert.NotContains(t, failed.json(t), "receipt", "an event is sent again with the submission, under the same id")
}

// Neither a receipt nor what it holds is logged.
func TestReceiptsAreNotLogged(t *testing.T) {
	c := newCircle(t)
	c.platform.Fail(standin.ScoresEndpoint, standin.Fault{Status: 403})
	failed := c.do(c.submit(c.submission(map[string]any{"pupil": pupilMarker, "answers": map[string]any{"fence": answerMarker}})))
	receipt := failed.json(t)["receipt"].(string)
	c.do(c.redemption(receipt))
	c.do(c.redemption(receipt + "x"))
	for _, secret := range append(strings.Split(receipt, "."), pupilMarker, answerMarker, c.lineItem) {
		assert.NotContains(t, c.logs.String(), secret)
	}
	assert.Contains(t, c.logs.String(), `"because":"receipt-form"`)
}
