// Package metrics counts what the service does, for whoever runs it: an [api.Observer] whose sums are served in the
// text format of Prometheus, on an address of its own and never on that of the API.
//
// Names have one prefix, base units and plural unit suffixes; every label takes its values from a closed set: words of
// the contract, ids of the catalogues, issuers of the configuration. Nothing tells about a pupil, a quiz, a caller or a
// line item.
//
//	metrics.go     the set of metrics, and the observer
//	answers.go     what is counted of one marked answer
//	closed.go      the closed sets
//	requests.go    what is counted of one request
//	rubrics.go     the store of rubrics, read at each scrape
//	handler.go     what the private address serves
//
// Source: Prometheus documentation, Metric and label naming; Instrumentation.
package metrics

import (
	"errors"
	"sync/atomic"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promauto"

	"squaremark/api"
	"squaremark/api/contract"
	"squaremark/api/platform"
	"squaremark/grader"
)

// prefix is in front of every name of the service's own.
const prefix = "squaremark"

// Build says what is running.
type Build struct {
	Version  string // of the module
	Revision string // of the source
	Engine   string // algebra.EngineVersion
}

// Options say what is counted. Rubrics may be nil.
type Options struct {
	Build     Build
	Platforms []string                // issuers
	InFlight  int                     // api.Limits.InFlight
	Rubrics   func() api.RubricCounts // nil: no rubrics
}

// Metrics is one set of counters. Safe for concurrent use.
type Metrics struct {
	registry *prometheus.Registry
	known    atomic.Pointer[closed] // the issuers

	requests    *prometheus.CounterVec
	durations   *prometheus.HistogramVec
	inFlight    *prometheus.GaugeVec
	shed        *prometheus.CounterVec
	tokens      *prometheus.CounterVec
	submissions *prometheus.CounterVec
	marking     prometheus.Histogram
	answers     *prometheus.CounterVec
	slips       *prometheus.CounterVec
	exhausted   *prometheus.CounterVec
	delivering  *prometheus.HistogramVec
	deliveries  *prometheus.CounterVec
	attempts    *prometheus.CounterVec
	fetches     *prometheus.CounterVec
	reloads     *prometheus.CounterVec
	stale       prometheus.Gauge
}

var _ api.Observer = (*Metrics)(nil)

// New makes a set of metrics. Series whose labels are known stand at zero from the start, so that a first event is
// seen as a rise.
func New(o Options) *Metrics {
	m := &Metrics{registry: prometheus.NewRegistry()}
	with := promauto.With(m.registry)
	counter := func(name, help string, labels ...string) *prometheus.CounterVec {
		return with.NewCounterVec(prometheus.CounterOpts{Namespace: prefix, Name: name, Help: help}, labels)
	}
	m.requests = counter("requests_total", "Requests answered, by route of the contract and outcome: ok, or the last part of the problem's type.", "route", "outcome")
	m.durations = with.NewHistogramVec(prometheus.HistogramOpts{
		Namespace: prefix, Name: "request_duration_seconds", Help: "Time from the first byte of a request to the end of its answer.", Buckets: wide,
	}, []string{"route"})
	m.inFlight = with.NewGaugeVec(prometheus.GaugeOpts{Namespace: prefix, Name: "requests_in_flight", Help: "Requests that are being answered."}, []string{"route"})
	m.shed = counter("requests_shed_total", "Requests turned away to protect the service, by what ran out.", "reason")
	m.tokens = counter("tokens_rejected_total", "Bearer tokens that were not accepted, by reason.", "reason")
	m.submissions = counter("submissions_total", "Submissions answered, by outcome: ok, or the last part of the problem's type.", "outcome")
	m.marking = with.NewHistogram(prometheus.HistogramOpts{
		Namespace: prefix, Name: "marking_duration_seconds", Help: "Time to mark one submission, without waiting and delivery.", Buckets: fine,
	})
	m.answers = counter("answers_total", "Answers marked, by kind and by what became of them.", "kind", "verdict")
	m.slips = counter("slips_total", "Slips named in answers, by id.", "slip")
	m.exhausted = counter("budget_exhaustions_total", "Answers left to a person because a limit of the engine was reached, by limit.", "limit")
	m.delivering = with.NewHistogramVec(prometheus.HistogramOpts{
		Namespace: prefix, Name: "delivery_duration_seconds", Help: "Time to deliver one result, repeats and waits included.", Buckets: wide,
	}, []string{"channel"})
	m.deliveries = counter("deliveries_total", "Results whose delivery ended, by platform, channel and state.", "platform", "channel", "state")
	m.attempts = counter("delivery_attempts_total", "Messages sent to platforms, repeats included.", "platform", "channel")
	m.fetches = counter("token_fetches_total", "Access tokens asked of platforms, by outcome.", "platform", "outcome")
	m.reloads = counter("reloads_total", "Readings of settings, keys and secrets while the service runs, by outcome.", "outcome")
	m.stale = with.NewGauge(prometheus.GaugeOpts{Namespace: prefix, Name: "settings_stale", Help: "1 while the settings in force are not those of the file, because that could not be used."})
	with.NewGauge(prometheus.GaugeOpts{Namespace: prefix, Name: "submissions_in_flight_limit", Help: "Submissions that may be in hand at the same time."}).Set(float64(o.InFlight))
	with.NewGaugeVec(prometheus.GaugeOpts{Namespace: prefix, Name: "build_info", Help: "Always 1; the labels say what is running."},
		[]string{"version", "revision", "engine"}).WithLabelValues(o.Build.Version, o.Build.Revision, o.Build.Engine).Set(1)
	m.registry.MustRegister(collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	if o.Rubrics != nil {
		m.registry.MustRegister(rubricStore{o.Rubrics})
	}
	m.startAtZero()
	m.Platforms(o.Platforms)
	return m
}

// wide and fine are the bounds of durations, in seconds: of what waits for others, and of what computes.
var (
	wide = []float64{0.005, 0.02, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10, 20, 40, 60}
	fine = []float64{0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10}
)

// Platforms sets the issuers that may stand in labels; others are counted as "other".
func (m *Metrics) Platforms(issuers []string) {
	m.known.Store(newClosed(issuers...))
	for _, issuer := range issuers {
		for _, channel := range channels() {
			m.attempts.WithLabelValues(issuer, channel)
			for _, state := range states() {
				m.deliveries.WithLabelValues(issuer, channel, state)
			}
		}
		for _, outcome := range fetchOutcomes() {
			m.fetches.WithLabelValues(issuer, outcome)
		}
	}
}

// Delivered implements [api.Observer].
func (m *Metrics) Delivered(d api.DeliveryEnd) {
	issuer := m.known.Load().word(d.Platform)
	m.deliveries.WithLabelValues(issuer, string(d.Channel), string(d.State)).Inc()
	m.attempts.WithLabelValues(issuer, string(d.Channel)).Add(float64(d.Attempts))
	m.delivering.WithLabelValues(string(d.Channel)).Observe(d.Took.Seconds())
}

// Marked implements [api.Observer].
func (m *Metrics) Marked(took time.Duration, result *grader.Result) {
	m.marking.Observe(took.Seconds())
	for i := range result.Questions {
		m.answer(&result.Questions[i])
	}
}

// Token counts one call to a token endpoint; it fits [platform.ClientOptions].
func (m *Metrics) Token(r *platform.Registration, err error) {
	outcome := "granted"
	var refused *platform.TokenError
	switch {
	case errors.As(err, &refused) && !refused.Retryable:
		outcome = "refused"
	case err != nil:
		outcome = "unavailable"
	}
	m.fetches.WithLabelValues(m.known.Load().word(r.Issuer), outcome).Inc()
}

// Reloaded counts one reading of the settings while the service runs.
func (m *Metrics) Reloaded(err error) {
	if err != nil {
		m.reloads.WithLabelValues("kept").Inc()
		m.stale.Set(1)
		return
	}
	m.reloads.WithLabelValues("taken").Inc()
	m.stale.Set(0)
}

func channels() []string {
	return []string{string(contract.LineItem), string(contract.Webhook)}
}

func states() []string {
	return []string{
		string(contract.Delivered), string(contract.Superseded), string(contract.Delayed), string(contract.Unanswered),
		string(contract.Refused),
	}
}

func fetchOutcomes() []string { return []string{"granted", "refused", "unavailable"} }
