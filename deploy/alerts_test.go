package deploy

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	dto "github.com/prometheus/client_model/go"
	"github.com/prometheus/common/expfmt"
	"github.com/prometheus/common/model"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// ruleFile holds every key of a rule file that alerts.yaml uses; any other is an error.
type ruleFile struct {
	Groups []struct {
		Name     string `yaml:"name"`
		Interval string `yaml:"interval"`
		Rules    []struct {
			Record      string            `yaml:"record"`
			Alert       string            `yaml:"alert"`
			Expr        string            `yaml:"expr"`
			For         string            `yaml:"for"`
			Labels      map[string]string `yaml:"labels"`
			Annotations map[string]string `yaml:"annotations"`
		} `yaml:"rules"`
	} `yaml:"groups"`
}

func rules(t *testing.T) ruleFile {
	text, err := os.ReadFile("alerts.yaml")
	require.NoError(t, err)
	var file ruleFile
	require.NoError(t, yaml.UnmarshalWithOptions(text, &file, yaml.Strict()))
	return file
}

// queries are the expressions of queries.md.
func queries(t *testing.T) []string {
	text, err := os.ReadFile("queries.md")
	require.NoError(t, err)
	var list []string
	for _, block := range regexp.MustCompile("(?s)```promql\n(.*?)```").FindAllStringSubmatch(string(text), -1) {
		list = append(list, block[1])
	}
	require.Greater(t, len(list), 20)
	return list
}

// Every alert says how bad it is, and its section of the runbook names it; the runbook names no others.
func TestRunbookAndAlertsAgree(t *testing.T) {
	text, err := os.ReadFile("RUNBOOK.md")
	require.NoError(t, err)
	sections := map[string]string{}
	for _, part := range strings.Split(string(text), "\n## ")[1:] {
		title, body, _ := strings.Cut(part, "\n")
		sections[strings.ReplaceAll(strings.ToLower(title), " ", "-")] = body
	}
	named := regexp.MustCompile("`(Squaremark[A-Za-z]+)`").FindAllStringSubmatch(string(text), -1)
	seen := map[string]bool{}
	for _, group := range rules(t).Groups {
		for _, r := range group.Rules {
			if r.Alert == "" {
				continue
			}
			seen[r.Alert] = true
			assert.Contains(t, []string{"page", "ticket"}, r.Labels["severity"], r.Alert)
			assert.NotEmpty(t, r.Annotations["summary"], r.Alert)
			anchor, ok := strings.CutPrefix(r.Annotations["runbook"], "RUNBOOK.md#")
			assert.True(t, ok, r.Alert)
			assert.Contains(t, sections[anchor], "`"+r.Alert+"`", "section %s", anchor)
		}
	}
	for _, n := range named {
		assert.True(t, seen[n[1]], "the runbook names %s, which is no alert", n[1])
	}
	assert.GreaterOrEqual(t, len(sections), 5)
}

// scraped are the families that a fresh service gives after a little traffic.
func scraped(t *testing.T) map[string]*dto.MetricFamily {
	r := newRig(t)
	p, command := r.run()
	require.Equal(t, 200, r.submit("p-84b7", map[string]any{"square-bed": "1, 2, 3, 4, 5, 6, 7", "paving": "(("}))
	parser := expfmt.NewTextParser(model.UTF8Validation)
	families, err := parser.TextToMetricFamilies(strings.NewReader(r.scrape()))
	require.NoError(t, err)
	require.NoError(t, command.Process.Signal(os.Interrupt))
	p.end()
	return families
}

var (
	namePattern    = regexp.MustCompile(`\b(?:squaremark|go|process)_[a-z_]+\b`)
	recordPattern  = regexp.MustCompile(`\bsquaremark:[a-z_]+:[a-z0-9_]+\b`)
	matcherPattern = regexp.MustCompile(`([a-z_]+)\{([^}]*)\}`)
	labelPattern   = regexp.MustCompile(`([a-z_]+)(=~|!=|=)"([^"]*)"`)
	groupPattern   = regexp.MustCompile(`\b(?:by|on) \(([^)]*)\)`)
)

// Every metric, label and value in the queries, the alerts and the runbook exists in a real scrape.
func TestQueriesAskForWhatExists(t *testing.T) {
	families := scraped(t)
	family := func(name string) *dto.MetricFamily {
		for _, suffix := range []string{"", "_bucket", "_count", "_sum"} {
			if base, ok := strings.CutSuffix(name, suffix); ok && families[base] != nil {
				return families[base]
			}
		}
		return nil
	}
	labels := map[string]map[string]bool{"instance": {}, "le": {}} // the first is the scraper's
	for _, f := range families {
		for _, series := range f.Metric {
			for _, l := range series.Label {
				if labels[l.GetName()] == nil {
					labels[l.GetName()] = map[string]bool{}
				}
				labels[l.GetName()][l.GetValue()] = true
			}
		}
	}
	texts := queries(t)
	records := map[string]bool{}
	for _, group := range rules(t).Groups {
		for _, r := range group.Rules {
			texts = append(texts, r.Expr)
			records[r.Record] = true
		}
	}
	runbook, err := os.ReadFile("RUNBOOK.md")
	require.NoError(t, err)
	used := map[string]bool{}
	for _, text := range append(texts, string(runbook)) {
		for _, name := range namePattern.FindAllString(text, -1) {
			if assert.NotNil(t, family(name), "%s is in no scrape: %s", name, text) {
				used[family(name).GetName()] = true
			}
		}
		for _, name := range recordPattern.FindAllString(text, -1) {
			assert.True(t, records[name], "%s is recorded by no rule", name)
		}
		for _, m := range matcherPattern.FindAllStringSubmatch(text, -1) {
			for _, l := range labelPattern.FindAllStringSubmatch(m[2], -1) {
				for _, value := range strings.Split(l[3], "|") {
					assert.True(t, labels[l[1]][value], "%s{%s}: no such label or value: %s", m[1], l[1], value)
				}
			}
		}
		for _, m := range groupPattern.FindAllStringSubmatch(text, -1) {
			for _, label := range strings.Split(strings.ReplaceAll(m[1], " ", ""), ",") {
				assert.NotNil(t, labels[label], "no label %s: %s", label, text)
			}
		}
	}
	for name := range families {
		if strings.HasPrefix(name, "squaremark_") {
			assert.True(t, used[name], "nobody asks for %s", name)
		}
	}
}

// Prometheus' own tool reads the rules and the queries, and plays the nights of alerts_test.yaml.
func TestPromtool(t *testing.T) {
	tool, err := exec.LookPath("promtool")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("promtool is missing; .ci/run installs it")
		}
		t.Skip("promtool is not installed")
	}
	var asRules bytes.Buffer
	asRules.WriteString("groups:\n  - name: queries\n    rules:\n")
	for i, q := range queries(t) {
		fmt.Fprintf(&asRules, "      - record: query:%d\n        expr: %q\n", i, q)
	}
	path := filepath.Join(t.TempDir(), "queries.yaml")
	require.NoError(t, os.WriteFile(path, asRules.Bytes(), 0o600))
	for _, arguments := range [][]string{
		{"check", "rules", "alerts.yaml"}, {"check", "rules", path}, {"test", "rules", "alerts_test.yaml"},
	} {
		out, err := exec.Command(tool, arguments...).CombinedOutput()
		assert.NoError(t, err, "%s", out)
	}
	played, err := os.ReadFile("alerts_test.yaml")
	require.NoError(t, err)
	for _, group := range rules(t).Groups {
		for _, r := range group.Rules {
			rows := regexp.MustCompile(`alertname: `+r.Alert+`\b[^\n]*\n\s+exp_alerts`).FindAll(played, -1)
			assert.True(t, r.Alert == "" || len(rows) > 0, "%s fires in no night of alerts_test.yaml", r.Alert)
		}
	}
}
