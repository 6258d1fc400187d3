package api_test

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api"
	"squaremark/api/platform"
)

// Each change breaks the submission in one place, and the problem names that place.
func TestInvalidSubmissions(t *testing.T) {
	c := newCircle(t)
	lines := func(line any) map[string]any { return map[string]any{"answers": map[string]any{"hedge": []any{line}}} }
	long := strings.Repeat("x", 5000)
	for _, row := range []struct {
		name    string
		changes map[string]any
		place   string
	}{
		{"rubric missing", map[string]any{"rubric": nil}, "/rubric"},
		{"rubric empty", map[string]any{"rubric": map[string]any{}}, "/rubric"},
		{"quiz and digest", map[string]any{"rubric": map[string]any{"quiz": "garden-plots", "digest": "sha256:" + strings.Repeat("0", 64)}}, "/rubric"},
		{"quiz in capitals", map[string]any{"rubric": map[string]any{"quiz": "Garden Plots"}}, "/rubric/quiz"},
		{"digest too short", map[string]any{"rubric": map[string]any{"digest": "sha256:00"}}, "/rubric/digest"},
		{"quiz is null", map[string]any{"rubric": map[string]any{"quiz": json.RawMessage("null")}}, "/rubric/quiz"},
		{"pupil missing", map[string]any{"pupil": nil}, "/pupil"},
		{"pupil is a number", map[string]any{"pupil": 7}, "/pupil"},
		{"pupil is empty", map[string]any{"pupil": ""}, "/pupil"},
		{"pupil with a zero byte", map[string]any{"pupil": "p-\x00"}, "/pupil"},
		{"pupil with a line feed", map[string]any{"pupil": "p-07c2\n"}, "/pupil"},
		{"pupil too long", map[string]any{"pupil": strings.Repeat("p", 256)}, "/pupil"},
		{"target missing", map[string]any{"target": nil}, "/target"},
		{"target empty", map[string]any{"target": map[string]any{}}, "/target"},
		{"two targets", map[string]any{"target": map[string]any{"lineItem": c.lineItem, "webhook": hookName}}, "/target"},
		{"target unknown", map[string]any{"target": map[string]any{"mail": "a"}}, "/target"},
		{"line item empty", map[string]any{"target": map[string]any{"lineItem": ""}}, "/target/lineItem"},
		{"line item too long", map[string]any{"target": map[string]any{"lineItem": c.lineItem + long}}, "/target/lineItem"},
		{"no time", map[string]any{"submittedAt": nil}, "/submittedAt"},
		{"time without zone", map[string]any{"submittedAt": "2026-03-05T18:42:10"}, "/submittedAt"},
		{"date only", map[string]any{"submittedAt": "2026-03-05"}, "/submittedAt"},
		{"not on the calendar", map[string]any{"submittedAt": "2026-02-30T18:42:10Z"}, "/submittedAt"},
		{"time is a number", map[string]any{"submittedAt": 1772736130}, "/submittedAt"},
		{"year beyond the last", map[string]any{"submittedAt": "9999-12-31T23:59:59-10:00"}, "/submittedAt"},
		{"started after the end", map[string]any{"startedAt": "2026-03-05T20:00:00Z"}, "/startedAt"},
		{"started at null", map[string]any{"startedAt": json.RawMessage("null")}, "/startedAt"},
		{"answers missing", map[string]any{"answers": nil}, "/answers"},
		{"answers are a list", map[string]any{"answers": []any{"x"}}, "/answers"},
		{"answer is a number", map[string]any{"answers": map[string]any{"fence": 7}}, "/answers/fence"},
		{"answer is null", map[string]any{"answers": map[string]any{"fence": json.RawMessage("null")}}, "/answers/fence"},
		{"answer is an object", map[string]any{"answers": map[string]any{"fence": map[string]any{"text": "x"}}}, "/answers/fence"},
		{"answer too long", map[string]any{"answers": map[string]any{"fence": strings.Repeat("x", 16385)}}, "/answers/fence"},
		{"lines for a square form", map[string]any{"answers": map[string]any{"fence": []any{map[string]any{"text": "x"}}}}, "/answers/fence"},
		{"unknown question", map[string]any{"answers": map[string]any{"roof": "x"}}, "/answers"},
		{"a question named like an answer", map[string]any{"answers": map[string]any{"my answer is 7": "x"}}, "/answers"},
		{"line is a text", lines("a^2 >= 0"), "/answers/hedge/0"},
		{"line without text", lines(map[string]any{"link": "=>"}), "/answers/hedge/0/text"},
		{"line too long", lines(map[string]any{"text": long}), "/answers/hedge/0/text"},
		{"unknown link", lines(map[string]any{"text": "a^2 >= 0", "link": "->"}), "/answers/hedge/0/link"},
		{"line with more", lines(map[string]any{"text": "a^2 >= 0", "marks": 3}), "/answers/hedge/0"},
		{"more marks wanted", map[string]any{"scoreGiven": 20}, ""},
		{"a role", map[string]any{"role": "teacher"}, ""},
		{"another user", map[string]any{"userId": "p-1e90"}, ""},
		{"a member in capitals", map[string]any{"Pupil": "p-1e90"}, ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			c := *c
			c.t = t
			answer := c.do(c.submit(c.submission(row.changes)))
			require.Equal(t, 422, answer.status, "%s", answer.body)
			assert.Equal(t, "invalid-submission", answer.problem(t))
			assert.Contains(t, answer.pointers(t), row.place)
			assert.Len(t, answer.pointers(t), 1)
		})
	}
	assert.Empty(t, c.platform.Gradebook(), "what is refused has no effect")
}

func TestPlacesAreBounded(t *testing.T) {
	c := newCircle(t)
	many := []any{}
	for range 150 {
		many = append(many, 7)
	}
	answer := c.do(c.submit(c.submission(map[string]any{"answers": map[string]any{"hedge": many}})))
	assert.Len(t, answer.pointers(t), 20)
}

func TestPlaceOfMalformedJSON(t *testing.T) {
	c := newCircle(t)
	for body, want := range map[string][2]float64{
		"{\n  \"pupil\": \"p-07c2\",\n  \"pupil\": \"p-1e90\"}": {3, 10},
		"{\"é\": 1, \"é\": 2}":                                  {1, 13},
		"[1,]":                                                  {1, 4},
		"\xff":                                                  {1, 1},
		"{\"a\":1":                                              {1, 7},
	} {
		answer := c.do(c.submit(body))
		require.Equal(t, "malformed-json", answer.problem(t), body)
		fault := answer.json(t)["errors"].([]any)[0].(map[string]any)
		assert.Equal(t, want, [2]float64{fault["line"].(float64), fault["column"].(float64)}, body)
	}
}

func TestTheScoreArrives(t *testing.T) {
	c := newCircle(t)
	answer := c.do(good(c)).json(t)
	book := c.platform.Gradebook()
	require.Len(t, book, 1)
	score := book[0].Score
	assert.Equal(t, "garden-plots", book[0].LineItem)
	assert.Equal(t, "p-07c2", score.UserID)
	assert.Equal(t, answer["marks"], score.ScoreGiven.RatString())
	assert.Equal(t, answer["total"], score.ScoreMaximum.RatString())
	assert.Equal(t, platform.GradingFullyGraded, score.GradingProgress)
	assert.Equal(t, platform.ActivityCompleted, score.ActivityProgress)
	assert.Equal(t, "Marked by machine: provisional until a teacher accepts.", score.Comment)
	assert.Equal(t, "2026-03-05T18:20:00Z", score.Submission.StartedAt.UTC().Format(time.RFC3339))
	assert.Equal(t, "2026-03-05T18:42:10Z", score.Submission.SubmittedAt.UTC().Format(time.RFC3339))
	delivery := answer["delivery"].(map[string]any)
	assert.Equal(t, map[string]any{
		"state": "delivered", "channel": "line-item", "attempts": 1.0, "statusClass": "2xx", "reason": "taken",
		"scoreTimestamp": score.Timestamp.UTC().Format(time.RFC3339Nano),
	}, delivery)
}

func TestUnsettledPartsGoOutAsWorkForAPerson(t *testing.T) {
	c := newCircle(t)
	answer := c.do(c.submit(c.submission(map[string]any{"answers": map[string]any{"beds": "unsettled", "fence": "(x-5)^2-22"}}))).json(t)
	assert.Equal(t, true, answer["needsPerson"])
	score := c.platform.Gradebook()[0].Score
	assert.Equal(t, platform.GradingPendingManual, score.GradingProgress)
	assert.Equal(t, answer["marks"], score.ScoreGiven.RatString(), "the sure part")
	assert.Equal(t, "Marked by machine: provisional until a teacher accepts. A person must still look at: beds. "+
		"hedge: Nothing was answered. hedge: There is no answer.", score.Comment)
}

func TestZeroMarksAreAScore(t *testing.T) {
	c := newCircle(t)
	c.do(c.submit(c.submission(map[string]any{"answers": map[string]any{}})))
	book := c.platform.Gradebook()
	require.Len(t, book, 1)
	require.NotNil(t, book[0].Shown)
	assert.Zero(t, book[0].Shown.Sign())
}

// The webhook's body is the one that the contract describes, and its id names the work, not the sending.
func TestTheEventArrives(t *testing.T) {
	c := newCircle(t)
	to := map[string]any{"target": map[string]any{"webhook": hookName}}
	answer := c.do(c.submit(c.submission(to))).json(t)
	received := c.platform.Webhooks()
	require.Len(t, received, 1)
	document := theContract(t)
	checkBody(t, document.Components.Schemas["GradedEvent"].Value, received[0].Body)
	var event map[string]any
	require.NoError(t, json.Unmarshal(received[0].Body, &event))
	data := event["data"].(map[string]any)
	assert.Equal(t, answer["marks"], data["marks"])
	assert.Equal(t, "p-07c2", data["pupil"])
	assert.Equal(t, received[0].ID, answer["delivery"].(map[string]any)["webhookId"])
	assert.Contains(t, document.Webhooks, event["type"], "the contract describes it")

	again := c.do(c.submit(c.submission(to))).json(t)
	assert.Equal(t, received[0].ID, again["delivery"].(map[string]any)["webhookId"], "same work")
	to["pupil"] = "p-1e90"
	other := c.do(c.submit(c.submission(to))).json(t)
	assert.NotEqual(t, received[0].ID, other["delivery"].(map[string]any)["webhookId"], "another pupil")
	delete(to, "pupil")
	to["answers"] = map[string]any{"beds": "0"}
	other = c.do(c.submit(c.submission(to))).json(t)
	assert.NotEqual(t, received[0].ID, other["delivery"].(map[string]any)["webhookId"], "other answers")
	assert.Len(t, c.platform.Webhooks(), 3)
}

var times = regexp.MustCompile(`"scoreTimestamp":"[^"]*"`)

func TestSameSubmissionSameBytesApartFromTimes(t *testing.T) {
	c := newCircle(t)
	first := c.do(good(c).with("Idempotency-Key", `"one"`))
	// Order of members and white space do not matter.
	raw, err := json.MarshalIndent(c.submission(nil), "", "    ")
	require.NoError(t, err)
	second := c.do(c.submit(string(raw)).with("Idempotency-Key", `"one"`))
	assert.Equal(t, times.ReplaceAllString(string(first.body), ""), times.ReplaceAllString(string(second.body), ""))
	book := c.platform.Gradebook()
	require.Len(t, book, 1)
	assert.Equal(t, 2, book[0].Updates)
}

// When delivery fails, the marks come back inside the problem, complete.
func TestDeliveryFailuresKeepTheResult(t *testing.T) {
	shared := newCircle(t)
	whole := shared.do(good(shared)).json(t)
	for _, row := range rows() {
		if row.operation != marking || !strings.HasPrefix(row.problem, "delivery-") {
			continue
		}
		t.Run(row.name, func(t *testing.T) {
			c := *shared
			if c.t = t; row.fresh {
				c = *newCircle(t)
			}
			row.arrange(&c)
			answer := c.do(row.call(&c)).json(t)
			result := answer["result"].(map[string]any)
			for name, want := range whole {
				if name != "delivery" {
					assert.Equal(t, want, result[name], name)
				}
			}
			delivery := result["delivery"].(map[string]any)
			assert.NotEqual(t, "delivered", delivery["state"])
			assert.NotEmpty(t, delivery["reason"])
		})
	}
}

func TestALongCommentIsCutAtASentence(t *testing.T) {
	c := newCircle(t, rubricsMarkedBy(talkative))
	c.do(good(c))
	text := c.platform.Gradebook()[0].Score.Comment
	assert.LessOrEqual(t, len([]rune(text)), 1000)
	assert.Regexp(t, `Look again at the constant\. \(\d+ more in the full result\.\)$`, text)
}

func TestNewRefusesWhatCannotBeServed(t *testing.T) {
	c := newCircle(t)
	for name, change := range map[string]func(*api.Config){
		"api: the store of rubrics is missing":   func(c *api.Config) { c.Rubrics = nil },
		"api: the verifier of tokens is missing": func(c *api.Config) { c.Verifier = nil },
		"api: the sender of scores is missing":   func(c *api.Config) { c.Sender = nil },
		"api: no platform is configured":         func(c *api.Config) { c.Platforms = nil },
		"api: platform 1 has no registration":    func(c *api.Config) { c.Platforms[0].Registration = nil },
		"api: platform 1 has an empty webhook":   func(c *api.Config) { c.Platforms[0].Webhooks[0] = nil },
		"occurs twice":                           func(c *api.Config) { c.Platforms = append(c.Platforms, c.Platforms[0]) },
		`webhook "evening-circle" of platform`: func(c *api.Config) {
			c.Platforms[0].Webhooks = append(c.Platforms[0].Webhooks, c.Platforms[0].Webhooks[0])
		},
		"webhook evening-circle: expected 1 to 4": func(c *api.Config) { c.Platforms[0].Webhooks[0].Secrets = nil },
		"platform 1: ": func(c *api.Config) { c.Platforms[0].Registration.TokenURL = "" },
	} {
		bad := c.config
		registration, hook := *bad.Platforms[0].Registration, *bad.Platforms[0].Webhooks[0]
		bad.Platforms = []api.Platform{{Registration: &registration, Webhooks: []*platform.Webhook{&hook}}}
		change(&bad)
		_, err := api.New(bad)
		assert.ErrorContains(t, err, name)
	}
}
