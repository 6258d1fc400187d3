package platform_test

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api/platform"
	"squaremark/api/platform/standin"
)

var everyScope = []string{platform.ScoreScope, platform.ResultScope, platform.ItemReadScope, platform.ItemScope}

// Results are read page by page; the query of the line item is kept, and next links are followed as given.
func TestResultsAreReadPageByPage(t *testing.T) {
	c := open(t, standin.Config{GrantScopes: everyScope, PageSize: 3}, platform.ClientOptions{})
	for i := range 8 {
		require.Equal(t, platform.Delivered, c.post(t, c.mark(fmt.Sprintf("p-%04d", i), int64(i), 9)).State)
	}
	clear := c.mark("p-0003", 0, 1)
	clear.ScoreGiven, clear.ScoreMaximum = nil, nil
	require.Equal(t, platform.Delivered, c.post(t, clear).State)
	results, err := c.client.ReadResults(context.Background(), c.registration, c.item+"?section=B", "")
	require.NoError(t, err)
	require.Len(t, results, 8)
	for i, r := range results {
		assert.Equal(t, fmt.Sprintf("p-%04d", i), r.UserID)
		assert.Equal(t, "20", r.Maximum.RatString())
		if i == 3 {
			assert.Nil(t, r.Score, "cleared")
		}
	}
	assert.Equal(t, "13.333333", results[6].Score.FloatString(6), "6 of 9 of 20")
	seen := c.Seen(standin.ResultsEndpoint)
	require.Len(t, seen, 3)
	assert.Equal(t, "/items/plots-3/results?section=B&limit=100", seen[0].Target)
	for _, request := range seen {
		asked, err := url.Parse(request.Target)
		require.NoError(t, err)
		assert.Equal(t, "B", asked.Query().Get("section"))
		assert.Equal(t, platform.ResultMediaType, request.Header.Get("Accept"))
		assert.Equal(t, http.MethodGet, request.Method)
	}

	one, err := c.client.ReadResults(context.Background(), c.registration, c.item, "p-0005")
	require.NoError(t, err)
	require.Len(t, one, 1)
	assert.Equal(t, "p-0005", one[0].UserID)
	none, err := c.client.ReadResults(context.Background(), c.registration, c.item, "p-9999")
	require.NoError(t, err)
	assert.Empty(t, none)
	assert.Len(t, c.Seen(standin.TokenEndpoint), 2, "one token for scores, one for results")
}

// Answers are data: each row is an answer and what is made of it.
func TestResultAnswers(t *testing.T) {
	good := map[string]string{"Content-Type": platform.ResultMediaType}
	with := func(name, value string) map[string]string {
		return map[string]string{"Content-Type": platform.ResultMediaType, name: value}
	}
	for _, row := range []struct {
		name   string
		header map[string]string
		status int
		body   string
		want   string // "user score/maximum" of each, or "!" and the reason
	}{
		{"nothing", good, 200, `[]`, ""},
		{"maximum left out is 1", good, 200, `[{"userId":"p-07c2","resultScore":0.75}]`, "p-07c2 3/4 1"},
		{"no score yet", good, 200, `[{"userId":"p-07c2","resultScore":null,"resultMaximum":7}]`, "p-07c2 - 7"},
		{"unknown members", good, 200, `[{"userId":"p-07c2","resultScore":2,"resultMaximum":7,"https://circle.example/x":{"y":[1]}}]`, "p-07c2 2 7"},
		{"above the maximum", good, 200, `[{"userId":"p-07c2","resultScore":9,"resultMaximum":7}]`, "p-07c2 9 7"},
		{"charset beside", with("Content-Type", platform.ResultMediaType+"; charset=utf-8"), 200, `[]`, ""},
		{"plain JSON", with("Content-Type", "application/json"), 200, `[]`, "!media type"},
		{"a page of HTML", with("Content-Type", "text/html"), 200, `<html>`, "!media type"},
		{"an object", good, 200, `{}`, "!not what its media type says"},
		{"null", good, 200, `null`, "!not what its media type says"},
		{"broken", good, 200, `[{"userId":`, "!not what its media type says"},
		{"member twice", good, 200, `[{"userId":"a","userId":"b"}]`, "!not what its media type says"},
		{"no user", good, 200, `[{"resultScore":1}]`, "!not what its media type says"},
		{"score as text", good, 200, `[{"userId":"p","resultScore":"1"}]`, "!not what its media type says"},
		{"maximum zero", good, 200, `[{"userId":"p","resultScore":1,"resultMaximum":0}]`, "!not what its media type says"},
		{"a list of texts", good, 200, `["p-07c2"]`, "!not what its media type says"},
		{"too long", good, 200, `["` + strings.Repeat("x", 1<<20) + `"]`, "!longer than this service reads"},
		{"next page elsewhere", with("Link", `<https://elsewhere.example/2>; rel="next"`), 200, `[]`, "!not on an agreed origin"},
		{"next page on a script", with("Link", `<javascript:x>; rel="next"`), 200, `[]`, "!not on an agreed origin"},
		{"redirect", with("Location", "https://elsewhere.example/"), 302, ``, "!redirect"},
		{"no right", good, 403, ``, "!does not permit this call"},
		{"gone", good, 410, ``, "!knows no such address"},
		{"not offered", good, 405, ``, "!malformed or not acceptable"},
	} {
		t.Run(row.name, func(t *testing.T) {
			c := open(t, standin.Config{GrantScopes: everyScope}, platform.ClientOptions{})
			c.Fail(standin.ResultsEndpoint, standin.Fault{Status: row.status, Header: row.header, Body: row.body})
			results, err := c.client.ReadResults(context.Background(), c.registration, c.item, "")
			if reason, bad := strings.CutPrefix(row.want, "!"); bad {
				var fault *platform.CallError
				require.ErrorAs(t, err, &fault)
				assert.Equal(t, platform.Refused, fault.State)
				assert.Contains(t, fault.Reason, reason)
				assert.NotContains(t, err.Error(), "elsewhere", "nothing that the other side wrote")
				return
			}
			require.NoError(t, err)
			shown := []string{}
			for _, r := range results {
				score := "-"
				if r.Score != nil {
					score = r.Score.RatString()
				}
				shown = append(shown, r.UserID+" "+score+" "+r.Maximum.RatString())
			}
			assert.Equal(t, row.want, strings.Join(shown, ", "))
		})
	}
}

func TestPagesWithoutAnEnd(t *testing.T) {
	c := open(t, standin.Config{GrantScopes: everyScope}, platform.ClientOptions{})
	header := map[string]string{"Content-Type": platform.ResultMediaType, "Link": `<?limit=100>; rel=next`}
	c.Fail(standin.ResultsEndpoint, standin.Fault{Status: 200, Header: header, Body: "[]"})
	_, err := c.client.ReadResults(context.Background(), c.registration, c.item, "")
	assert.ErrorContains(t, err, "no end", "a page that leads to itself")
	for i := range 101 {
		header := map[string]string{"Content-Type": platform.ResultMediaType, "Link": fmt.Sprintf(`<?page=%d>; rel=next`, i)}
		c.Fail(standin.ResultsEndpoint, standin.Fault{Status: 200, Header: header, Body: "[]"})
	}
	_, err = c.client.ReadResults(context.Background(), c.registration, c.item, "")
	assert.ErrorContains(t, err, "no end", "a hundred pages are enough")
	assert.Len(t, c.Seen(standin.ResultsEndpoint), 101)
}

func TestPassingTroubleWhileReading(t *testing.T) {
	c := open(t, standin.Config{GrantScopes: everyScope}, platform.ClientOptions{})
	good := map[string]string{"Content-Type": platform.ResultMediaType}
	c.Fail(standin.ResultsEndpoint, standin.Fault{Status: 503}, standin.Fault{Reset: true}, standin.Fault{Status: 200, Header: good, Body: "[", Stall: 20 * time.Millisecond})
	results, err := c.client.ReadResults(context.Background(), c.registration, c.item, "")
	require.NoError(t, err)
	assert.Empty(t, results)
	assert.Len(t, c.Seen(standin.ResultsEndpoint), 4)
	c.RevokeTokens()
	_, err = c.client.ReadResults(context.Background(), c.registration, c.item, "")
	require.NoError(t, err, "a token that is not accepted is replaced once")
	for range 4 {
		c.Fail(standin.ResultsEndpoint, standin.Fault{Status: 429, Header: map[string]string{"Retry-After": "0"}})
	}
	_, err = c.client.ReadResults(context.Background(), c.registration, c.item, "")
	var fault *platform.CallError
	require.ErrorAs(t, err, &fault)
	_, again := fault.RetryIn()
	assert.True(t, again)
}

func TestNothingIsReadWhenTheInputBreaksARule(t *testing.T) {
	c := open(t, standin.Config{GrantScopes: everyScope}, platform.ClientOptions{})
	_, err := c.client.ReadResults(context.Background(), nil, c.item, "")
	assert.ErrorContains(t, err, "registration")
	for _, item := range []string{"https://elsewhere.example/items/1", "", "/items/plots-3", c.item + "/../x"} {
		_, err := c.client.ReadResults(context.Background(), c.registration, item, "")
		assert.ErrorContains(t, err, "line item", item)
		_, err = c.client.FindLineItems(context.Background(), c.registration, platform.ItemQuery{Container: item, Tag: "quiz"})
		assert.ErrorContains(t, err, "line item", item)
	}
	assert.Empty(t, c.Seen(standin.TokenEndpoint))
}
