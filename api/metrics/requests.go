package metrics

import (
	"strings"

	"squaremark/api"
	"squaremark/api/contract"
	"squaremark/api/platform"
)

// submissionRoute is where submissions come in.
const submissionRoute = "/v1/submissions"

// outcomes are "ok" and the last parts of the types of problems.
var outcomes = func() *closed {
	c := newClosed("ok")
	for _, p := range api.ProblemCatalogue() {
		c.words[lastPart(p.Type)] = true
	}
	return c
}()

func lastPart(t contract.ProblemType) string {
	return string(t[strings.LastIndexByte(string(t), '/')+1:])
}

// rejections are the reasons for which a token is not accepted.
var rejections = func() *closed {
	c := newClosed("missing", "header", "scope")
	for _, code := range platform.RefusalCodes() {
		c.words[string(code)] = true
	}
	return c
}()

// sheddings are what can run out.
var sheddings = newClosed("in-flight", "marking", "deadline", "batches", "stopping", "gone", "rate")

// route is a pattern of the contract, which are few, or "none".
func route(pattern string) string {
	if pattern == "" {
		return "none"
	}
	return pattern
}

// RequestBegan implements [api.Observer].
func (m *Metrics) RequestBegan(pattern string) { m.inFlight.WithLabelValues(route(pattern)).Inc() }

// RequestEnded implements [api.Observer].
func (m *Metrics) RequestEnded(end api.RequestEnd) {
	at, outcome := route(end.Route), outcomes.word(end.Outcome)
	m.inFlight.WithLabelValues(at).Dec()
	m.requests.WithLabelValues(at, outcome).Inc()
	m.durations.WithLabelValues(at).Observe(end.Took.Seconds())
	if end.Route == submissionRoute && end.Method == "POST" {
		m.submissions.WithLabelValues(outcome).Inc()
	}
	m.explain(end.Outcome, end.Because)
}

// LineEnded implements [api.Observer]: a line of a batch is a submission like any other.
func (m *Metrics) LineEnded(outcome, because string) {
	m.submissions.WithLabelValues(outcomes.word(outcome)).Inc()
	m.explain(outcome, because)
}

// explain counts why something was refused.
func (m *Metrics) explain(outcome, because string) {
	switch outcome {
	case "token-missing":
		m.tokens.WithLabelValues("missing").Inc()
	case "scope-missing":
		m.tokens.WithLabelValues("scope").Inc()
	case "token-refused", "keys-unavailable":
		m.tokens.WithLabelValues(rejections.word(because)).Inc()
	case "overloaded":
		m.shed.WithLabelValues(sheddings.word(because)).Inc()
	case "too-many-requests":
		m.shed.WithLabelValues("rate").Inc()
	}
}

func (m *Metrics) startAtZero() {
	for _, o := range outcomes.all() {
		m.submissions.WithLabelValues(o)
	}
	for _, r := range rejections.all() {
		m.tokens.WithLabelValues(r)
	}
	for _, s := range sheddings.all() {
		m.shed.WithLabelValues(s)
	}
	for _, kind := range kinds.all() {
		for _, v := range verdicts() {
			m.answers.WithLabelValues(kind, v)
		}
	}
	for _, s := range slips.all() {
		m.slips.WithLabelValues(s)
	}
	for name := range limits {
		m.exhausted.WithLabelValues(name)
	}
	for _, channel := range channels() {
		m.delivering.WithLabelValues(channel)
	}
	for _, outcome := range []string{"taken", "kept"} {
		m.reloads.WithLabelValues(outcome)
	}
	m.inFlight.WithLabelValues(submissionRoute)
	m.durations.WithLabelValues(submissionRoute)
}
