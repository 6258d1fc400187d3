package check

import (
	"bytes"
	"context"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/algebra/source"
)

var update = flag.Bool("update", false, "write the golden files anew")

// The printed check of each file in testdata is its golden file.
func TestGolden(t *testing.T) {
	names, err := filepath.Glob("testdata/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, names)
	for _, name := range names {
		var out bytes.Buffer
		err := Run(&out, []string{name}, true)
		got := regexp.MustCompile(`\([0-9.]+(µs|ms|s)\)`).ReplaceAllString(out.String(), "(time)")
		golden := strings.TrimSuffix(name, ".yaml") + ".golden"
		if *update {
			require.NoError(t, os.WriteFile(golden, []byte(got), 0o644))
		}
		want, readErr := os.ReadFile(golden)
		require.NoError(t, readErr)
		assert.Equal(t, string(want), got)
		if strings.Contains(name, "faulty") {
			assert.ErrorIs(t, err, ErrFaulty)
		} else {
			assert.NoError(t, err, name)
		}
	}
}

// Each question of advice.yaml shows one fault, and needed-givens none.
func TestAdvice(t *testing.T) {
	text, err := os.ReadFile("testdata/advice.yaml")
	require.NoError(t, err)
	report := File("advice.yaml", text)
	require.NotNil(t, report.Rubric)
	codes := map[string][]string{}
	for _, d := range report.Diagnostics {
		require.Equal(t, source.Warning, d.Severity)
		id := ""
		for _, q := range report.Rubric.Questions {
			if q.At.Start.Line <= d.At.Start.Line {
				id = q.ID.Value
			}
		}
		codes[id] = append(codes[id], d.Code)
	}
	assert.Equal(t, map[string][]string{
		"evident":        {"evident-claim"},
		"spare-given":    {"unused-given", "unused-given"},
		"spare-range":    {"unused-given"},
		"half-looked-at": {"wrong-answer-full-marks"},
		"any-square":     {"wrong-answer-full-marks"},
		"way-forgotten":  {"wrong-answer-full-marks"},
	}, codes)
}

// Nothing is printed about the demo course, unless it is asked for.
func TestSilence(t *testing.T) {
	names, err := filepath.Glob("../../../deploy/course/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, names)
	var out bytes.Buffer
	require.NoError(t, Run(&out, names, false))
	assert.Empty(t, out.String())
	require.NoError(t, Run(&out, names, true))
	assert.Contains(t, out.String(), "8 questions")
	assert.Error(t, Run(&out, []string{"testdata/missing.yaml"}, false))
}

// locked is a buffer for two goroutines.
type locked struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (l *locked) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *locked) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}

// A saved change is checked, a removed file waited for, the end kept.
func TestWatch(t *testing.T) {
	name := filepath.Join(t.TempDir(), "beds.yaml")
	good := "{rubric: 1, quiz: beds, questions: [{id: a, kind: integers, prompt: p, variables: {n: integer}, solve: n^2 < 5, model: '-2, -1, 0, 1, 2'}]}"
	require.NoError(t, os.WriteFile(name, []byte(good), 0o600))
	ctx, stop := context.WithCancel(context.Background())
	out, ended := &locked{}, make(chan error, 1)
	go func() { ended <- Watch(ctx, out, []string{name}, 5*time.Millisecond) }()
	says := func(what string, times int) {
		t.Helper()
		require.Eventually(t, func() bool { return strings.Count(out.String(), what) == times }, 10*time.Second, 2*time.Millisecond)
	}
	says("1 question", 1)
	require.NoError(t, os.WriteFile(name, []byte(strings.Replace(good, "-2, ", "", 1)), 0o600))
	says("cannot be used", 1)
	require.NoError(t, os.Remove(name))
	require.NoError(t, os.WriteFile(name+".new", []byte(good+"\n"), 0o600))
	require.NoError(t, os.Rename(name+".new", name))
	says("1 question", 2)
	stop()
	assert.NoError(t, <-ended)
	assert.Error(t, Watch(context.Background(), out, []string{name + ".gone"}, time.Millisecond))
}
