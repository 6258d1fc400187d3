package grader

import (
	"fmt"
	"math/big"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/algebra/source"
	"squaremark/grader/rubric"
)

// script is what a pupil wrote, with the marks that a fair examiner gives.
type script struct {
	file      string
	line      int
	marker    *Marker
	question  string
	answer    string
	labels    []string // of the steps that are not right, in their order
	slips     []string
	low, high *big.Rat
	person    bool
	open      string // why the engine does not get there yet
	why       string
}

// scripts reads testdata/scripts: questions as in a rubric, and below each
// what was written.
func scripts(t testing.TB) []script {
	t.Helper()
	names, err := filepath.Glob("testdata/scripts/*.txt")
	require.NoError(t, err)
	var list []script
	for _, name := range names {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		list = append(list, scriptsOf(t, name, string(data))...)
	}
	require.NotEmpty(t, list)
	return list
}

func scriptsOf(t testing.TB, name, text string) []script {
	var list []script
	var marker *Marker
	var id string
	var head, answer []string
	var s script
	for i, line := range append(strings.Split(text, "\n"), "") {
		place := fmt.Sprintf("%s:%d: %s", name, i+1, line)
		key, value, _ := strings.Cut(line, ":")
		value = strings.TrimSpace(value)
		switch {
		case strings.HasPrefix(line, "#"):
		case key == "question":
			id, head, marker = value, nil, nil
		case strings.HasPrefix(line, "  "):
			head = append(head, "  "+line)
		case strings.HasPrefix(line, ">"):
			if marker == nil {
				file := "rubric: 1\nquiz: script\nquestions:\n  - id: " + id + "\n" + strings.Join(head, "\n") + "\n"
				r, diags := rubric.Load(name, []byte(file))
				require.NotNil(t, r, "%s: %s", place, source.Print(diags, nil))
				marker, diags = Compile(r)
				require.NotNil(t, marker, "%s: %s", place, source.Print(diags, nil))
			}
			if len(answer) == 0 {
				s = script{file: filepath.Base(name), line: i + 1, marker: marker, question: id}
			}
			written, label, judged := strings.Cut(line[1:], "  // ")
			if judged {
				s.labels = append(s.labels, strings.TrimSpace(label))
			}
			answer = append(answer, strings.TrimSpace(written))
		case key == "marks":
			value, s.person = strings.CutSuffix(value, " person")
			low, high, between := strings.Cut(value, "..")
			if !between {
				high = low
			}
			var okL, okH bool
			s.low, okL = new(big.Rat).SetString(low)
			s.high, okH = new(big.Rat).SetString(high)
			require.True(t, okL && okH, place)
		case key == "slip":
			s.slips = append(s.slips, value)
		case key == "open":
			s.open = value
		case key == "why":
			s.why = value
		case line == "" && len(answer) > 0:
			require.NotNil(t, s.low, place)
			require.NotEmpty(t, s.why, place)
			s.answer = strings.Join(answer, "\n")
			list, answer = append(list, s), nil
		default:
			require.Empty(t, line, place)
		}
	}
	return list
}

// Default mark schemes give what a fair examiner would give.
func TestScripts(t *testing.T) {
	inside, all := 0, 0
	counts := map[string][2]int{}
	for _, s := range scripts(t) {
		q := s.marker.one(s.question, Answer{Text: s.answer})
		all++
		in := q.Marks.Cmp(s.low) >= 0 && q.Marks.Cmp(s.high) <= 0
		n := counts[s.file]
		n[1]++
		if in {
			inside++
			n[0]++
		}
		counts[s.file] = n
		if s.open != "" {
			t.Logf("%s:%d: open: %s: %s marks", s.file, s.line, s.open, q.Marks.RatString())
			continue
		}
		where := fmt.Sprintf("%s:%d", s.file, s.line)
		assert.True(t, in, "%s: %s to %s marks (%s), got\n%s", where, s.low.RatString(), s.high.RatString(), s.why, tell(written{s.question, s.answer}, q))
		assert.Equal(t, s.person, q.NeedsPerson, "%s: whether a person must look\n%s", where, tell(written{s.question, s.answer}, q))
		var slips, labels []string
		for _, f := range q.Findings {
			label, _, _ := strings.Cut(f.Detail, ":")
			switch {
			case f.Code == "slip":
				slips = append(slips, f.Slip)
			case f.Code == "line" && label != "ok":
				labels = append(labels, label)
			}
		}
		if len(s.slips) > 0 {
			assert.Subset(t, slips, s.slips, where)
		}
		assert.Equal(t, s.labels, labels, "%s: labels\n%s", where, tell(written{s.question, s.answer}, q))
		if s.low.Cmp(q.Total) == 0 {
			assert.Empty(t, slips, "%s: no slip in what is right", where)
		}
	}
	for name, n := range counts {
		t.Logf("%s: %d of %d inside the range", name, n[0], n[1])
	}
	assert.GreaterOrEqual(t, all, 120)
	assert.GreaterOrEqual(t, 100*inside, 97*all, "%d of %d inside the range", inside, all)
}
