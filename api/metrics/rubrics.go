package metrics

import (
	"github.com/prometheus/client_golang/prometheus"

	"squaremark/api"
)

// rubricStore reads the store's own counts at each scrape.
type rubricStore struct{ counts func() api.RubricCounts }

func describe(name, help string, labels ...string) *prometheus.Desc {
	return prometheus.NewDesc(prometheus.BuildFQName(prefix, "", name), help, labels, nil)
}

var (
	rubricsReady    = describe("rubrics_ready", "Quizzes that can be marked.")
	rubricsKeptOut  = describe("rubrics_kept_out", "Rubric files that are kept out because of an error.")
	rubricsReplaced = describe("rubrics_replaced", "Replaced versions that can still be asked for by digest.")
	rubricVersions  = describe("rubric_versions_total", "Versions of rubric files: made ready, or found in error at a reading of the folder.", "outcome")
	rubricReadings  = describe("rubric_readings_total", "Readings of the folder of rubrics.")
)

// Describe implements [prometheus.Collector].
func (rubricStore) Describe(out chan<- *prometheus.Desc) {
	for _, d := range []*prometheus.Desc{rubricsReady, rubricsKeptOut, rubricsReplaced, rubricVersions, rubricReadings} {
		out <- d
	}
}

// Collect implements [prometheus.Collector].
func (s rubricStore) Collect(out chan<- prometheus.Metric) {
	c := s.counts()
	gauge := func(d *prometheus.Desc, n int) {
		out <- prometheus.MustNewConstMetric(d, prometheus.GaugeValue, float64(n))
	}
	sum := func(d *prometheus.Desc, n int, labels ...string) {
		out <- prometheus.MustNewConstMetric(d, prometheus.CounterValue, float64(n), labels...)
	}
	gauge(rubricsReady, c.Ready)
	gauge(rubricsKeptOut, c.KeptOut)
	gauge(rubricsReplaced, c.Older)
	sum(rubricVersions, c.Accepted, "loaded")
	sum(rubricVersions, c.Rejected, "rejected")
	sum(rubricReadings, c.Readings)
}
