package metrics_test

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"math/big"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus/testutil/promlint"
	dto "github.com/prometheus/client_model/go"
	"github.com/prometheus/common/expfmt"
	"github.com/prometheus/common/model"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/algebra/budget"
	"squaremark/api"
	"squaremark/api/metrics"
	"squaremark/api/platform"
	"squaremark/api/platform/standin"
	"squaremark/grader"
	"squaremark/grader/wording"
)

// watched is a running service that is counted, beside a stand-in platform.
type watched struct {
	t          *testing.T
	school     *standin.Platform
	item, url  string
	scrapes    string
	rubrics    *api.Rubrics
	rubricFile string
	metrics    *metrics.Metrics
}

func watch(t *testing.T, change ...func(*api.Config)) *watched {
	t.Helper()
	key, err := platform.GenerateSigningKey(2048)
	require.NoError(t, err)
	keys, err := platform.NewKeySet(key)
	require.NoError(t, err)
	public, err := keys.PublicJWKS()
	require.NoError(t, err)
	school, err := standin.Start(standin.Config{ToolKeySet: public})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, school.Close()) })

	text, err := os.ReadFile("../testdata/rubrics/garden-plots.yaml")
	require.NoError(t, err)
	w := &watched{t: t, school: school, rubricFile: filepath.Join(t.TempDir(), "plots.yaml")}
	require.NoError(t, os.WriteFile(w.rubricFile, text, 0o600))
	w.rubrics = api.OpenRubrics(filepath.Dir(w.rubricFile), api.Compile, nil)
	w.metrics = metrics.New(metrics.Options{
		Build:     metrics.Build{Version: "v0", Revision: "r", Engine: "e"},
		Platforms: []string{school.IssuerConfig().Issuer}, InFlight: 4, Rubrics: w.rubrics.Counts,
	})
	verifier, err := platform.NewVerifier([]platform.IssuerConfig{school.IssuerConfig()}, platform.VerifierOptions{})
	require.NoError(t, err)
	config := api.Config{
		Rubrics: w.rubrics, Verifier: verifier, Observer: w.metrics,
		Sender: platform.NewClient(platform.ClientOptions{
			OnToken: w.metrics.Token, Retry: platform.RetryPolicy{Attempts: 2, First: time.Millisecond},
		}),
		Platforms: []api.Platform{{Registration: school.Registration(keys)}},
	}
	for _, f := range change {
		f(&config)
	}
	server, err := api.New(config)
	require.NoError(t, err)
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(ctx, listener) }()
	t.Cleanup(func() { stop(); require.NoError(t, <-ended) })
	private := httptest.NewServer(w.metrics.Handler(false))
	t.Cleanup(private.Close)
	w.url, w.scrapes = "http://"+listener.Addr().String(), private.URL
	w.item = school.AddLineItem(standin.LineItem{ID: "plots", Label: "Plots", Maximum: big.NewRat(10, 1)})
	return w
}

func (w *watched) token() string {
	token, err := w.school.MintSubmissionToken(map[string]any{"sub": "circle-courses", "scope": "submit read"})
	require.NoError(w.t, err)
	return token
}

func (w *watched) submit(token string, answers map[string]any) int {
	w.t.Helper()
	body, err := json.Marshal(map[string]any{
		"rubric": map[string]any{"quiz": "garden-plots"}, "pupil": "p-31fa", "target": map[string]any{"lineItem": w.item},
		"submittedAt": "2026-03-05T18:42:10Z", "answers": answers,
	})
	require.NoError(w.t, err)
	request, err := http.NewRequest(http.MethodPost, w.url+"/v1/submissions", bytes.NewReader(body))
	require.NoError(w.t, err)
	if token != "" {
		request.Header.Set("Authorization", "Bearer "+token)
	}
	request.Header.Set("Content-Type", "application/json")
	answer, err := http.DefaultClient.Do(request)
	require.NoError(w.t, err)
	defer answer.Body.Close()
	_, err = io.Copy(io.Discard, answer.Body)
	require.NoError(w.t, err)
	return answer.StatusCode
}

// scrape reads the metrics as a scraper does.
func (w *watched) scrape() (families map[string]*dto.MetricFamily, text string) {
	w.t.Helper()
	answer, err := http.Get(w.scrapes + "/metrics")
	require.NoError(w.t, err)
	defer answer.Body.Close()
	require.Equal(w.t, 200, answer.StatusCode)
	raw, err := io.ReadAll(answer.Body)
	require.NoError(w.t, err)
	parser := expfmt.NewTextParser(model.UTF8Validation)
	families, err = parser.TextToMetricFamilies(bytes.NewReader(raw))
	require.NoError(w.t, err)
	return families, string(raw)
}

// value is one series, written as in a query: name{label="value",...} with the labels in the order of the text format.
func (w *watched) value(series string) string {
	w.t.Helper()
	_, text := w.scrape()
	for line := range strings.Lines(text) {
		if rest, ok := strings.CutPrefix(line, series+" "); ok {
			return strings.TrimSpace(rest)
		}
	}
	return "no such series"
}

func (w *watched) eventually(series, want string) {
	w.t.Helper()
	assert.Eventually(w.t, func() bool { return w.value(series) == want }, 10*time.Second, 10*time.Millisecond, "%s", series)
	assert.Equal(w.t, want, w.value(series), series)
}

const (
	rightFence = "(x - 5)^2 - 22"
	// hugeFence needs longer numbers than the engine works with.
	hugeFence = "(x-5)^2 - 22 + (x + 123456789012345678901234567890123456789012345678)^90 - (x + 123456789012345678901234567890123456789012345678)^90"
)

func TestCountsOfKnownTraffic(t *testing.T) {
	w := watch(t)
	issuer := w.school.IssuerConfig().Issuer
	assert.Equal(t, "0", w.value(`squaremark_submissions_total{outcome="ok"}`), "known series stand at zero before anything happens")
	assert.Equal(t, "0", w.value(`squaremark_deliveries_total{channel="line-item",platform="`+issuer+`",state="refused"}`))

	require.Equal(t, 200, w.submit(w.token(), map[string]any{"beds": "-2, -1, 0, 1, 2", "fence": rightFence}))
	require.Equal(t, 200, w.submit(w.token(), map[string]any{"beds": "0, 1, 2", "fence": "(x - 5)^2 - 25"}))
	require.Equal(t, 200, w.submit(w.token(), map[string]any{"beds": "((", "fence": hugeFence}))
	w.school.Fail(standin.ScoresEndpoint, standin.Fault{Status: 500}, standin.Fault{})
	require.Equal(t, 200, w.submit(w.token(), map[string]any{"fence": "7"}))
	w.school.Fail(standin.ScoresEndpoint, standin.Fault{Status: 403})
	require.Equal(t, 502, w.submit(w.token(), nothing))
	require.Equal(t, 401, w.submit("a.b.c", nothing))
	require.Equal(t, 401, w.submit("", nothing))

	for series, want := range map[string]string{
		`squaremark_submissions_total{outcome="ok"}`:                                                   "4",
		`squaremark_submissions_total{outcome="delivery-refused"}`:                                     "1",
		`squaremark_submissions_total{outcome="token-refused"}`:                                        "1",
		`squaremark_requests_total{outcome="ok",route="/v1/submissions"}`:                              "4",
		`squaremark_requests_in_flight{route="/v1/submissions"}`:                                       "0",
		`squaremark_request_duration_seconds_count{route="/v1/submissions"}`:                           "7",
		`squaremark_marking_duration_seconds_count`:                                                    "5",
		`squaremark_answers_total{kind="integers",verdict="full"}`:                                     "1",
		`squaremark_answers_total{kind="square-form",verdict="full"}`:                                  "1",
		`squaremark_answers_total{kind="square-form",verdict="unsettled"}`:                             "1",
		`squaremark_answers_total{kind="square-form",verdict="none"}`:                                  "1",
		`squaremark_answers_total{kind="integers",verdict="unreadable"}`:                               "1",
		`squaremark_answers_total{kind="steps",verdict="unanswered"}`:                                  "5",
		`squaremark_budget_exhaustions_total{limit="bits"}`:                                            "1",
		`squaremark_budget_exhaustions_total{limit="work"}`:                                            "0",
		`squaremark_deliveries_total{channel="line-item",platform="` + issuer + `",state="delivered"}`: "4",
		`squaremark_deliveries_total{channel="line-item",platform="` + issuer + `",state="refused"}`:   "1",
		`squaremark_delivery_attempts_total{channel="line-item",platform="` + issuer + `"}`:            "6",
		`squaremark_delivery_duration_seconds_count{channel="line-item"}`:                              "5",
		`squaremark_token_fetches_total{outcome="granted",platform="` + issuer + `"}`:                  "1",
		`squaremark_tokens_rejected_total{reason="form"}`:                                              "1",
		`squaremark_tokens_rejected_total{reason="missing"}`:                                           "1",
		`squaremark_rubrics_ready`:                                                                     "1",
		`squaremark_rubric_versions_total{outcome="loaded"}`:                                           "1",
		`squaremark_submissions_in_flight_limit`:                                                       "4",
		`squaremark_build_info{engine="e",revision="r",version="v0"}`:                                  "1",
		`squaremark_settings_stale`:                                                                    "0",
	} {
		w.eventually(series, want)
	}
}

// The limit is seen whatever language the feedback is in.
func TestExhaustionsInEveryLanguage(t *testing.T) {
	w := watch(t)
	for _, language := range wording.Known() {
		says := language.Engine((&budget.ExhaustedError{Limit: "work"}).Error())
		require.NotEmpty(t, says, language.Tag)
		w.metrics.Marked(time.Millisecond, &grader.Result{Questions: []grader.QuestionResult{{
			Kind: "steps", Answered: true, NeedsPerson: true, Marks: new(big.Rat), Total: big.NewRat(1, 1),
			Criteria: []grader.CriterionResult{{NeedsPerson: true, Because: "(" + says + ")"}, {NeedsPerson: true, Because: says}},
		}}})
	}
	assert.Equal(t, strconv.Itoa(len(wording.Known())), w.value(`squaremark_budget_exhaustions_total{limit="work"}`), "once an answer")
}

// One slip, made for the table of slips, is counted by its id.
func TestSlipsAreCountedByID(t *testing.T) {
	w := watch(t)
	require.Equal(t, 200, w.submit(w.token(), map[string]any{"fence": "(x - 5)^2 + 3"}))
	families, _ := w.scrape()
	sum := 0.0
	for _, series := range families["squaremark_slips_total"].Metric {
		sum += series.GetCounter().GetValue()
	}
	assert.InDelta(t, 1, sum, 0)
	assert.Equal(t, "1", w.value(`squaremark_slips_total{slip="constant-not-compensated"}`))
}

func TestShedRequestsAreCounted(t *testing.T) {
	w := watch(t, func(c *api.Config) { c.Limits.Burst, c.Limits.PerSecond = 1, 0.001 })
	require.Equal(t, 200, w.submit(w.token(), nothing))
	require.Equal(t, 429, w.submit(w.token(), nothing))
	w.eventually(`squaremark_requests_shed_total{reason="rate"}`, "1")
}

// Every reason for turning a request away that the API gives stands in the closed set.
func TestEveryReasonToShedIsKnown(t *testing.T) {
	files, err := filepath.Glob("../*.go")
	require.NoError(t, err)
	w := watch(t)
	found := 0
	for _, name := range files {
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		for _, match := range regexp.MustCompile(`overloaded\("([^"]*)"\)`).FindAllStringSubmatch(string(text), -1) {
			found++
			w.metrics.LineEnded("overloaded", match[1])
		}
	}
	assert.Greater(t, found, 3)
	assert.Equal(t, "no such series", w.value(`squaremark_requests_shed_total{reason="other"}`))
	assert.Equal(t, strconv.Itoa(found), w.value(`squaremark_submissions_total{outcome="overloaded"}`))
}

func TestRubricsAndReloadsAreCounted(t *testing.T) {
	w := watch(t)
	require.NoError(t, os.WriteFile(w.rubricFile, []byte("quiz: ["), 0o600))
	w.rubrics.Reload()
	assert.Equal(t, "1", w.value("squaremark_rubrics_ready"), "the good version stays")
	assert.Equal(t, "1", w.value("squaremark_rubrics_kept_out"))
	assert.Equal(t, "1", w.value(`squaremark_rubric_versions_total{outcome="rejected"}`))
	assert.Equal(t, "2", w.value("squaremark_rubric_readings_total"))
	w.metrics.Reloaded(os.ErrInvalid)
	assert.Equal(t, "1", w.value("squaremark_settings_stale"))
	w.metrics.Reloaded(nil)
	assert.Equal(t, "0", w.value("squaremark_settings_stale"))
	assert.Equal(t, "1", w.value(`squaremark_reloads_total{outcome="kept"}`))
	assert.Equal(t, "1", w.value(`squaremark_reloads_total{outcome="taken"}`))
}

func TestTokenTroubleIsCounted(t *testing.T) {
	w := watch(t)
	issuer := w.school.IssuerConfig().Issuer
	w.school.Fail(standin.TokenEndpoint, standin.Fault{Status: 401, Body: `{"error":"invalid_client"}`})
	require.Equal(t, 502, w.submit(w.token(), nothing))
	w.school.Fail(standin.TokenEndpoint, standin.Fault{Status: 503})
	require.Equal(t, 200, w.submit(w.token(), nothing), "the second try gets one")
	for outcome, want := range map[string]string{"refused": "1", "unavailable": "1", "granted": "1"} {
		w.eventually(`squaremark_token_fetches_total{outcome="`+outcome+`",platform="`+issuer+`"}`, want)
	}
}

// The public address knows nothing of metrics or profiles; the private one has profiles only when asked.
func TestPrivateThingsArePrivate(t *testing.T) {
	w := watch(t)
	for _, path := range []string{"/metrics", "/debug/pprof/", "/debug/pprof/profile"} {
		answer, err := http.Get(w.url + path)
		require.NoError(t, err)
		answer.Body.Close()
		assert.Equal(t, 404, answer.StatusCode, path)
	}
	status := func(profile bool, path string) int {
		answer := httptest.NewRecorder()
		w.metrics.Handler(profile).ServeHTTP(answer, httptest.NewRequest("GET", path, nil))
		return answer.Code
	}
	assert.Equal(t, 404, status(false, "/debug/pprof/"))
	assert.Equal(t, 200, status(true, "/debug/pprof/"))
	assert.Equal(t, 200, status(true, "/debug/pprof/heap"))
	assert.Equal(t, 200, status(true, "/metrics"))
	assert.Equal(t, 404, status(true, "/"))
}

// nothing is a submission without answers.
var nothing = map[string]any{}

// permittedLabels are all labels there are, and how many values each may take.
var permittedLabels = map[string]int{
	"route": 16, "outcome": 40, "reason": 30, "kind": 4, "verdict": 6, "slip": 40, "limit": 4, "channel": 2,
	"platform": 2, "state": 5, "version": 1, "revision": 1, "engine": 1, "le": 20,
}

// Names and labels keep the rules: one prefix, base units, _total on counters only, closed sets, nothing of a pupil.
//
// Source: Prometheus documentation, Metric and label naming.
func TestNamesAndLabels(t *testing.T) {
	w := watch(t)
	require.Equal(t, 200, w.submit(w.token(), map[string]any{"beds": "0, 1, 2", "fence": "((", "hedge": "MARKER >= 0"}))
	require.Equal(t, 401, w.submit("MARKER", nothing))
	answer, err := http.Get(w.url + "/v1/MARKER")
	require.NoError(t, err)
	answer.Body.Close()
	w.metrics.Delivered(api.DeliveryEnd{Platform: "https://MARKER.example", Channel: "line-item", State: "delivered"})
	w.metrics.RequestEnded(api.RequestEnd{Route: "/v1/submissions", Method: "POST", Outcome: "MARKER", Because: "MARKER"})
	w.metrics.RequestEnded(api.RequestEnd{Route: "/v1/submissions", Method: "POST", Outcome: "overloaded", Because: "MARKER"})
	w.metrics.RequestEnded(api.RequestEnd{Route: "/v1/submissions", Method: "POST", Outcome: "token-refused", Because: "MARKER"})

	families, text := w.scrape()
	for _, private := range []string{"MARKER", "p-31fa", "plots", "circle-courses"} {
		assert.NotContains(t, text, private)
	}
	problems, err := promlint.New(strings.NewReader(text)).Lint()
	require.NoError(t, err)
	for _, p := range problems {
		if strings.HasPrefix(p.Metric, "squaremark_") {
			assert.Fail(t, p.Text, p.Metric)
		}
	}
	own := 0
	for name, family := range families {
		if !strings.HasPrefix(name, "squaremark_") {
			assert.Regexp(t, `^(go|process|promhttp)_`, name, "one prefix")
			continue
		}
		own++
		assert.NotEmpty(t, family.GetHelp(), name)
		assert.Equal(t, family.GetType() == dto.MetricType_COUNTER, strings.HasSuffix(name, "_total"), "%s: _total stands on counters and on nothing else", name)
		assert.Equal(t, family.GetType() == dto.MetricType_HISTOGRAM, strings.HasSuffix(name, "_seconds"), "%s: times are histograms in seconds", name)
		values := map[string]map[string]bool{}
		for _, series := range family.Metric {
			for _, label := range series.Label {
				if values[label.GetName()] == nil {
					values[label.GetName()] = map[string]bool{}
				}
				values[label.GetName()][label.GetValue()] = true
			}
		}
		for label, seen := range values {
			most, known := permittedLabels[label]
			assert.True(t, known, "%s: label %s is not on the list", name, label)
			assert.LessOrEqual(t, len(seen), most, "%s: label %s", name, label)
		}
	}
	assert.Greater(t, own, 20)
}
