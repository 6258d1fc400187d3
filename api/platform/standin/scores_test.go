package standin_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/big"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api/platform"
	"squaremark/api/platform/standin"
)

func score(stamp, given, maximum string) string {
	return `{"userId":"p-07c2","activityProgress":"Completed","gradingProgress":"FullyGraded","timestamp":"` + stamp +
		`","scoreGiven":` + given + `,"scoreMaximum":` + maximum + `}`
}

// Source of the cases: LTI Assignment and Grade Services 2.0, section 3.4.9.
func TestOrderingVectors(t *testing.T) {
	var file struct {
		Ordering struct {
			Cases []struct {
				ID      string
				Sent    [][2]json.RawMessage
				Kept    json.Number
				Applied []bool
			}
		}
	}
	vectors(t, "ags-score.json", &file)
	require.Len(t, file.Ordering.Cases, 6)
	for _, c := range file.Ordering.Cases {
		t.Run(c.ID, func(t *testing.T) {
			b := start(t, standin.Config{})
			b.AddLineItem(standin.LineItem{ID: "plots-3", Maximum: big.NewRat(10, 1)})
			token := b.token(t, time.Now(), platform.ScoreScope)
			for i, sent := range c.Sent {
				var stamp string
				require.NoError(t, json.Unmarshal(sent[0], &stamp))
				status, _ := b.send(t, "POST", "/items/plots-3/scores", platform.ScoreMediaType, token, score(stamp, string(sent[1]), "10"))
				assert.Equal(t, map[bool]int{true: 204, false: 409}[c.Applied[i]], status)
			}
			kept, _ := new(big.Rat).SetString(c.Kept.String())
			assert.Zero(t, b.Gradebook()[0].Shown.Cmp(kept))
		})
	}
}

// Source of the cases: LTI Assignment and Grade Services 2.0, section 3.4.4.
func TestRescaleVectors(t *testing.T) {
	var file struct {
		Rescale struct {
			Cases []struct {
				Given, Maximum, Shown json.Number
				Item                  json.Number `json:"line_item_maximum"`
			}
		}
	}
	vectors(t, "ags-score.json", &file)
	require.Len(t, file.Rescale.Cases, 3)
	for _, c := range file.Rescale.Cases {
		b := start(t, standin.Config{})
		maximum, _ := new(big.Rat).SetString(c.Item.String())
		b.AddLineItem(standin.LineItem{ID: "plots-3", Maximum: maximum})
		token := b.token(t, time.Now(), platform.ScoreScope)
		status, _ := b.send(t, "POST", "/items/plots-3/scores", platform.ScoreMediaType, token,
			score("2031-05-14T09:00:00.000Z", c.Given.String(), c.Maximum.String()))
		require.Equal(t, 204, status)
		shown, _ := new(big.Rat).SetString(c.Shown.String())
		assert.Zero(t, b.Gradebook()[0].Shown.Cmp(shown))
	}
}

func TestScoreVectorsOverHTTP(t *testing.T) {
	var file struct {
		Valid, Invalid []struct {
			ID   string
			Body json.RawMessage
		}
	}
	vectors(t, "ags-score.json", &file)
	b := start(t, standin.Config{})
	token := b.token(t, time.Now(), platform.ScoreScope)
	for i, v := range append(file.Valid, file.Invalid...) {
		id := fmt.Sprintf("item-%d", i)
		b.AddLineItem(standin.LineItem{ID: id, Maximum: big.NewRat(10, 1)})
		status, _ := b.send(t, "POST", "/items/"+id+"/scores", platform.ScoreMediaType, token, string(v.Body))
		want := 204
		if i >= len(file.Valid) {
			want = 400
		}
		assert.Equal(t, want, status, v.ID)
	}
	assert.Len(t, b.Gradebook(), len(file.Valid))
}

func TestScoresEndpointRefusals(t *testing.T) {
	var clock atomic.Int64
	b := start(t, standin.Config{
		GrantScopes: []string{platform.ScoreScope, "https://purl.imsglobal.org/spec/lti-ags/scope/lineitem.readonly"},
		TokenLife:   time.Minute, Clock: func() time.Time { return time.Unix(1936517213+clock.Load(), 0) },
	})
	now := time.Unix(1936517213, 0)
	b.AddLineItem(standin.LineItem{ID: "plots-3", Label: "Garden plots 3", Maximum: big.NewRat(15, 2)})
	scores := b.token(t, now, platform.ScoreScope)
	items := b.token(t, now, "https://purl.imsglobal.org/spec/lti-ags/scope/lineitem.readonly")
	good := score("2031-05-14T09:00:00.000Z", "5", "10")
	for _, row := range []struct {
		name, method, path, mediaType, token, body string
		want                                       int
	}{
		{"no-token", "POST", "/items/plots-3/scores", platform.ScoreMediaType, "", good, 401},
		{"made-up-token", "POST", "/items/plots-3/scores", platform.ScoreMediaType, "x", good, 401},
		{"other-scope", "POST", "/items/plots-3/scores", platform.ScoreMediaType, items, good, 403},
		{"plain-json", "POST", "/items/plots-3/scores", "application/json", scores, good, 415},
		{"no-such-item", "POST", "/items/none/scores", platform.ScoreMediaType, scores, good, 404},
		{"not-json", "POST", "/items/plots-3/scores", platform.ScoreMediaType, scores, "x", 400},
		{"huge", "POST", "/items/plots-3/scores", platform.ScoreMediaType, scores, strings.Repeat(" ", 200<<10), 413},
		{"read-scores", "GET", "/items/plots-3/scores", platform.ScoreMediaType, scores, "", 405},
		{"good", "POST", "/items/plots-3/scores?section=B", platform.ScoreMediaType + "; charset=utf-8", scores, good, 204},
		{"items", "GET", "/items", "", items, "", 200},
		{"item", "GET", "/items/plots-3", "", items, "", 200},
		{"item-none", "GET", "/items/none", "", items, "", 404},
		{"items-with-score-scope", "GET", "/items", "", scores, "", 403},
		{"item-without-token", "GET", "/items/plots-3", "", "", "", 401},
	} {
		status, body := b.send(t, row.method, row.path, row.mediaType, row.token, row.body)
		assert.Equal(t, row.want, status, row.name)
		if row.name == "item" {
			assert.JSONEq(t, `{"id":"`+b.URL()+`/items/plots-3","label":"Garden plots 3","scoreMaximum":7.5}`, string(body))
		}
		if row.name == "items" {
			assert.True(t, bytes.HasPrefix(body, []byte(`[{"id":`)))
		}
	}
	clock.Store(61)
	status, _ := b.send(t, "POST", "/items/plots-3/scores", platform.ScoreMediaType, scores, good)
	assert.Equal(t, 401, status, "the token's time is over")
	b.token(t, now.Add(61*time.Second), platform.ScoreScope)
}
