package api_test

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api"
	"squaremark/api/platform/standin"
)

// Marker texts stand for what must stay between platform and marking. They are sent in every place and searched in
// every output.
const (
	answerMarker = "zinnia7741"
	pupilMarker  = "p-zq8830"
	itemMarker   = "itemmarker5512"
	keyMarker    = "keymarker9034"
	wordMarker   = "wordmarker6627"
)

func TestNothingOfAPupilIsLogged(t *testing.T) {
	c := newCircle(t, rubricsMarkedBy(fullMarks))
	shaky := newCircle(t, rubricsMarkedBy(panicking))
	item := c.platform.AddLineItem(standin.LineItem{ID: itemMarker, Label: wordMarker, Maximum: big10})
	answers := map[string]any{
		"fence": answerMarker, "beds": "unsettled " + answerMarker,
		"hedge": []any{map[string]any{"text": answerMarker + "\n\"level\":\"forged\""}},
	}
	private := map[string]any{"pupil": pupilMarker, "target": map[string]any{"lineItem": item}, "answers": answers}
	changes := func(more map[string]any) map[string]any {
		all := map[string]any{}
		for name, value := range private {
			all[name] = value
		}
		for name, value := range more {
			all[name] = value
		}
		return all
	}
	tokens := []string{}
	send := func(c *circle, k call) reply {
		k = k.with("Idempotency-Key", `"`+keyMarker+`"`).with("User-Agent", wordMarker).with("X-Forwarded-For", wordMarker).
			with("Tracestate", "v="+wordMarker).with("X-Request-Id", wordMarker)
		tokens = append(tokens, k.header.Get("Authorization"))
		return c.do(k)
	}
	problems := []reply{
		send(c, c.submit(c.submission(changes(map[string]any{wordMarker: answerMarker})))),
		send(c, c.submit(c.submission(changes(map[string]any{"answers": map[string]any{answerMarker: "x"}})))),
		send(c, c.submit(c.submission(changes(map[string]any{"answers": map[string]any{answerMarker + " " + wordMarker: 7}})))),
		send(c, c.submit(c.submission(changes(map[string]any{"answers": map[string]any{"hedge": []any{map[string]any{"text": answerMarker, "link": wordMarker}}}})))),
		send(c, c.submit(c.submission(changes(map[string]any{"submittedAt": wordMarker})))),
		send(c, c.submit(c.submission(changes(map[string]any{"rubric": map[string]any{"quiz": wordMarker}})))),
		send(c, c.submit(c.submission(changes(map[string]any{"target": map[string]any{"lineItem": "https://" + wordMarker + ".example/" + itemMarker}})))),
		send(c, c.submit(c.submission(changes(map[string]any{"target": map[string]any{"webhook": wordMarker}})))),
		send(c, withClaims(func(c *circle) call { return c.submit(c.submission(private)) }, map[string]any{api.PupilClaim: wordMarker})(c)),
		send(c, withClaims(func(c *circle) call { return c.submit(c.submission(private)) }, map[string]any{"scope": wordMarker})(c)),
		send(c, c.submit(`{"pupil":"`+pupilMarker+`","pupil":"`+pupilMarker+`"}`)),
		send(c, c.submit(`{"`+answerMarker)),
		send(c, c.get("/v1/rubrics/"+wordMarker)),
		send(c, c.get("/"+wordMarker+"?pupil="+pupilMarker)),
		send(c, call{method: "PROPFIND", path: "/v1/rubrics?" + wordMarker, header: http.Header{}}),
		send(c, c.submit("").with("Accept", wordMarker+"/"+wordMarker)),
		send(c, c.submit("").with("Content-Type", wordMarker+"/"+wordMarker)),
		send(shaky, shaky.submit(shaky.submission(map[string]any{"pupil": pupilMarker, "answers": map[string]any{"fence": answerMarker}}))),
	}
	for _, p := range problems {
		assert.GreaterOrEqual(t, p.status, 400)
		for _, marker := range []string{answerMarker, pupilMarker, itemMarker, keyMarker, wordMarker} {
			assert.NotContains(t, string(p.body), marker)
			for name, values := range p.header {
				assert.NotContains(t, name+strings.Join(values, " "), marker)
			}
		}
	}
	require.Equal(t, 200, send(c, c.submit(c.submission(private))).status)
	c.platform.Fail(standin.ScoresEndpoint, standin.Fault{Status: 403, Body: wordMarker, Header: map[string]string{"X-Word": wordMarker}})
	refused := send(c, c.submit(c.submission(private)))
	require.Equal(t, 502, refused.status)
	assert.NotContains(t, string(refused.body), wordMarker, "what the other side wrote is not passed on")

	output := c.logs.String() + shaky.logs.String()
	require.Greater(t, strings.Count(output, `"msg":"request"`), 18)
	for _, marker := range []string{answerMarker, pupilMarker, itemMarker, keyMarker, wordMarker, "forged"} {
		assert.NotContains(t, output, marker)
	}
	for _, token := range tokens {
		if token = strings.TrimPrefix(token, "Bearer "); token != "" {
			assert.NotContains(t, output, token[len(token)-40:])
		}
	}
	for _, request := range c.platform.Seen(standin.ScoresEndpoint) {
		for _, marker := range []string{answerMarker, pupilMarker, keyMarker, wordMarker} {
			assert.NotContains(t, request.Target, marker)
		}
		assert.Empty(t, request.Header.Get("Tracestate"))
	}
}

// The log has one line for each request, made of fields of closed sets, ids and numbers.
func TestLogLines(t *testing.T) {
	c := newCircle(t)
	c.do(good(c).with("Traceparent", "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01"))
	answer := c.do(withClaims(good, map[string]any{"aud": "elsewhere"})(c))
	lines := []map[string]any{}
	for _, line := range strings.Split(strings.TrimSpace(c.logs.String()), "\n") {
		var fields map[string]any
		require.NoError(t, json.Unmarshal([]byte(line), &fields))
		if fields["msg"] == "request" {
			lines = append(lines, fields)
		}
	}
	require.Len(t, lines, 2)
	assert.Equal(t, "4bf92f3577b34da6a3ce929d0e0e4736", lines[0]["trace_id"])
	assert.Equal(t, "00f067aa0ba902b7", lines[0]["parent_id"])
	assert.Equal(t, "ok", lines[0]["outcome"])
	assert.Equal(t, "POST", lines[0]["method"])
	assert.Equal(t, "/v1/submissions", lines[0]["route"])
	assert.Equal(t, 200.0, lines[0]["status"])
	assert.Equal(t, c.platform.URL(), lines[0]["platform"])
	assert.Greater(t, lines[0]["took"], 0.0)
	assert.Equal(t, "token-refused", lines[1]["outcome"])
	assert.Equal(t, "audience", lines[1]["because"])
	assert.Equal(t, answer.header.Get("X-Request-Id"), lines[1]["request_id"])
	instance := answer.json(t)["instance"].(string)
	assert.Equal(t, answer.header.Get("X-Request-Id")[:8], instance[len("urn:uuid:"):][:8])
}

// A header that a proxy may set does not change who the caller is.
func TestForwardedHeadersDoNotChangeTheRate(t *testing.T) {
	c := newCircle(t, oneAtATime)
	c.do(c.get("/v1/rubrics").with("X-Forwarded-For", "192.0.2.1"))
	assert.Equal(t, 429, c.do(c.get("/v1/rubrics").with("X-Forwarded-For", "192.0.2.2")).status)
}
