package marking

import (
	"bytes"
	"encoding/csv"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/grader"
	"squaremark/grader/rubric"
)

var update = flag.Bool("update", false, "write the golden files anew")

// same compares a text with a golden file.
func same(t *testing.T, golden, got string) {
	t.Helper()
	golden = filepath.Join("testdata", golden)
	if *update {
		require.NoError(t, os.WriteFile(golden, []byte(got), 0o644))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	assert.Equal(t, string(want), got)
}

func read(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	return string(data)
}

var day = time.Date(2026, 3, 20, 19, 30, 0, 0, time.UTC)

// A class of 200: the files are the same whatever the separator, the form of
// the answers and the number of workers, and their figures agree.
func TestClass(t *testing.T) {
	rows := invented(200)
	var first []string
	for i, answers := range []string{tableFile(t, rows, ','), tableFile(t, rows, ';'), tableFile(t, rows, '\t'), objectFile(t, rows)} {
		dir := t.TempDir()
		file := func(name string) string { return filepath.Join(dir, name) }
		names := []string{file("marks.csv"), file("results.jsonl"), file("todo.txt"), file("report.html")}
		var out, notes bytes.Buffer
		require.NoError(t, Run(Options{
			Rubric: gardenPlots, Answers: answers, Out: names[:2], Todo: names[2], Report: names[3],
			Workers: 1 + i, Now: day, Stdout: &out, Stderr: &notes,
		}))
		assert.Empty(t, out.String())
		said := regexp.MustCompile(`^200 answer sets marked in \S+; mean (\d+\.\d\d) of 27 marks; a person must look at (\d+) answers in (\d+) of the sets\n$`).FindStringSubmatch(notes.String())
		require.NotNil(t, said, notes.String())
		var texts []string
		for _, name := range names {
			texts = append(texts, read(t, name))
			info, err := os.Stat(name)
			require.NoError(t, err)
			assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())
		}
		if i == 0 {
			first = texts
			records, err := readRecords(names[1])
			require.NoError(t, err)
			require.Len(t, records, 200)
			assert.Equal(t, said[1], mean(records).FloatString(2))
			assert.Contains(t, texts[2], said[2]+" answers wait for a person")
			assert.Contains(t, texts[3], said[2]+" answers <a href")
			checkClass(t, records)
		}
		assert.Equal(t, first, texts)
	}
}

// checkClass demands that right answers have full marks and wrong ones have
// not, by the bank.
func checkClass(t *testing.T, records []Record) {
	for _, r := range records {
		for i, q := range r.Questions {
			right := false
			for _, text := range bank[i].right {
				right = right || text == q.Answer
			}
			assert.Equal(t, right, q.Marks.Cmp(q.Total.Rat) == 0 && !q.NeedsPerson, "%s: %s", q.ID, q.Answer)
		}
	}
}

// Kept results of a small class by two rubrics: the printed files.
func TestPrinted(t *testing.T) {
	r, diags := rubric.LoadFile(gardenPlots)
	require.NotNil(t, r, "%v", diags)
	before, err := readRecords("testdata/before.jsonl")
	require.NoError(t, err)
	after, err := readRecords("testdata/after.jsonl")
	require.NoError(t, err)
	for name, write := range map[string]func(w *bytes.Buffer) error{
		"marks.csv":   func(w *bytes.Buffer) error { return writeCSV(w, before) },
		"again.jsonl": func(w *bytes.Buffer) error { return writeLines(w, before) },
		"todo.txt":    func(w *bytes.Buffer) error { return writeTodo(w, r, before) },
		"report.html": func(w *bytes.Buffer) error { return WriteReport(w, r, before, day) },
		"changes.txt": func(w *bytes.Buffer) error { w.WriteString(changesText(Compare(before, after))); return nil },
	} {
		var b bytes.Buffer
		require.NoError(t, write(&b))
		if name == "again.jsonl" {
			assert.Equal(t, read(t, "testdata/before.jsonl"), b.String())
			continue
		}
		same(t, name, b.String())
	}
}

// Marks in the table are those of the records, and sum up.
func TestCSVSums(t *testing.T) {
	marker := gardenMarker(t)
	entries, _, err := Read("a.csv", []byte(read(t, tableFile(t, invented(25), ';'))), questionIDs(marker.Rubric()))
	require.NoError(t, err)
	records := Grade(marker, entries, 2, nil)
	var b bytes.Buffer
	require.NoError(t, writeCSV(&b, records))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 26)
	for i, r := range records {
		sum := markText(Exact{mean(nil)})
		assert.Equal(t, "0", sum)
		total := mean(nil)
		for _, q := range r.Questions {
			total.Add(total, q.Marks.Rat)
		}
		assert.Zero(t, total.Cmp(r.Marks.Rat))
		assert.Equal(t, r.Pupil, rows[i+1][0])
		assert.Equal(t, markText(r.Marks), rows[i+1][9])
	}
}

// Marking each different answer once gives what marking whole sheets gives.
func TestAnswersStandAlone(t *testing.T) {
	marker := gardenMarker(t)
	entries, _, err := Read("a.csv", []byte(read(t, tableFile(t, invented(40), ','))), questionIDs(marker.Rubric()))
	require.NoError(t, err)
	for i, r := range Grade(marker, entries, 3, nil) {
		whole := marker.Grade(grader.Submission{Quiz: r.Quiz, Answers: entries[i].Answers})
		assert.Zero(t, whole.Marks.Cmp(r.Marks.Rat))
		assert.Equal(t, whole.NeedsPerson, r.NeedsPerson)
		assert.Equal(t, []any{whole.Quiz, whole.RubricDigest, whole.EngineVersion}, []any{r.Quiz, r.RubricDigest, r.EngineVersion})
		for k, q := range whole.Questions {
			assert.Equal(t, asPlain(q, entries[i].Answers[q.ID]), r.Questions[k])
		}
	}
}

func TestMarkText(t *testing.T) {
	for text, want := range map[string]string{`"0"`: "0", `"3"`: "3", `"5/2"`: "2 1/2", `"1/3"`: "0 1/3", `"14/4"`: "3 1/2"} {
		var e Exact
		require.NoError(t, e.UnmarshalJSON([]byte(text)))
		assert.Equal(t, want, markText(e))
	}
	for _, text := range []string{`"1e9"`, `"-1"`, `"1/0"`, `3`, `""`, `"11111111111111111111111111111111111111111111111"`} {
		var e Exact
		assert.Error(t, e.UnmarshalJSON([]byte(text)), text)
	}
}

// After a change of the rubric it is told whose marks change, by how much and
// why.
func TestAgainst(t *testing.T) {
	dir := t.TempDir()
	file := func(name string) string { return filepath.Join(dir, name) }
	answers := tableFile(t, invented(12), ',')
	run := func(quiz string, opt Options) (out string) {
		var stdout, stderr bytes.Buffer
		opt.Rubric, opt.Answers, opt.Stdout, opt.Stderr = quiz, answers, &stdout, &stderr
		require.NoError(t, Run(opt), stderr.String())
		return stdout.String()
	}
	run(gardenPlots, Options{Out: []string{file("old.jsonl")}})
	assert.Equal(t, "Marked again: by the same rubric\n0 of 12 pupils have changed work: 0 more marks, 0 fewer, 0 the same sum\n",
		run(gardenPlots, Options{Out: []string{file("again.jsonl")}, Against: file("old.jsonl")}))
	assert.Equal(t, read(t, file("old.jsonl")), read(t, file("again.jsonl")))

	changed := read(t, gardenPlots)
	for _, edit := range [][2]string{
		{"        for: complete\n", "        for: some-correct\n"},
		{"        worth: 1\n        for: exactly-right\n        needs: some", "        worth: 2\n        for: exactly-right\n        needs: some"},
		{"    model: n <= -1 or n >= 6\n    total: 2", "    model: n <= -1 or n >= 6\n    total: 3"},
		{"total: 27", "total: 28"},
		{"- id: square\n        type: method", "- id: bracket\n        type: method"},
		{"needs: square\n\n  - id: two-beds", "needs: bracket\n\n  - id: two-beds"},
	} {
		require.Contains(t, changed, edit[0])
		changed = strings.Replace(changed, edit[0], edit[1], 1)
	}
	require.NoError(t, os.WriteFile(file("changed.yaml"), []byte(changed), 0o600))
	assert.Empty(t, run(file("changed.yaml"), Options{Out: []string{file("new.jsonl")}, Against: file("old.jsonl"), Changes: file("changes.txt")}))
	text := read(t, file("changes.txt"))
	assert.Regexp(t, `^Marked again: by a changed rubric \([0-9a-f]{8} -> [0-9a-f]{8}\)\n`, text)
	before, err := readRecords(file("old.jsonl"))
	require.NoError(t, err)
	after, err := readRecords(file("new.jsonl"))
	require.NoError(t, err)
	for _, c := range Compare(before, after).Changed {
		sum := mean(nil)
		for _, q := range c.Questions {
			switch q.ID {
			case "square-bed":
				assert.Equal(t, "all", q.Criteria[0].ID)
				assert.Equal(t, "marks", q.Criteria[0].Kind)
			case "far-fence":
				assert.Equal(t, "exact", q.Criteria[0].ID)
				assert.Equal(t, "worth", q.Criteria[0].Kind)
			default:
				assert.Fail(t, q.ID+" has not changed")
			}
			sum.Add(sum, q.To.Rat).Sub(sum, q.From.Rat)
		}
		assert.Zero(t, sum.Sub(sum, c.To.Rat).Add(sum, c.From.Rat).Sign(), "the changes add up")
		assert.Contains(t, text, c.Pupil)
	}
	assert.Contains(t, text, "square-bed")
	assert.Contains(t, text, "now of 2")

	var out, notes bytes.Buffer
	require.NoError(t, Run(Options{Rubric: file("changed.yaml"), Answers: answers, Against: file("old.jsonl"), Stdout: &out, Stderr: &notes}))
	assert.True(t, strings.HasPrefix(out.String(), "pupil,"), "results on one stream")
	assert.Contains(t, notes.String(), "Marked again", "the changes on the other")
}

// One pupil more, one fewer, and another answer.
func TestCompareClasses(t *testing.T) {
	marker := gardenMarker(t)
	grade := func(rows [][]string) []Record {
		entries, _, err := Read("a.csv", []byte(read(t, tableFile(t, rows, ','))), questionIDs(marker.Rubric()))
		require.NoError(t, err)
		return Grade(marker, entries, 0, nil)
	}
	old, rows := grade(invented(6)), invented(7)
	rows = append(rows[:2], rows[3:]...)
	rows[1][4] = "(x - 7)^2 + 12"
	d := Compare(old, grade(rows))
	assert.Equal(t, []string{rows[6][0]}, d.New)
	assert.Equal(t, []string{old[1].Pupil}, d.Gone)
	assert.Equal(t, 5, d.Compared)
	require.Len(t, d.Changed, 1)
	assert.Equal(t, "paving", d.Changed[0].Questions[0].ID)
	assert.True(t, d.Changed[0].Questions[0].OtherAnswer)
	assert.Contains(t, changesText(d), "the answer is another one")
	assert.Contains(t, changesText(Compare(nil, nil)), "nothing to compare")
}

// What cannot be used is told, and nothing is written.
func TestRefusals(t *testing.T) {
	dir := t.TempDir()
	put := func(name, text string) string {
		name = filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(name, []byte(text), 0o600))
		return name
	}
	answers := tableFile(t, invented(3), ',')
	for _, row := range []struct {
		opt  Options
		says string
	}{
		{Options{Rubric: put("bad.yaml", "rubric: 1\nquiz: x\n"), Answers: answers}, `expected the key "questions"`},
		{Options{Rubric: gardenPlots, Answers: put("bad.csv", "id,paving\n,x\n")}, "bad.csv:2: there are answers, but no id"},
		{Options{Rubric: gardenPlots, Answers: filepath.Join(dir, "none.csv")}, "no such file"},
		{Options{Rubric: filepath.Join(dir, "none.yaml"), Answers: answers}, "no such file"},
		{Options{Rubric: gardenPlots, Answers: answers, Against: put("old.jsonl", "\n{\"pupil\":\"p\"}\n")}, "old.jsonl:2: expected a result with pupil and marks"},
		{Options{Rubric: gardenPlots, Answers: answers, Against: put("old2.jsonl", "{\"pupil\":\n")}, "old2.jsonl:1: expected a result"},
		{Options{Rubric: gardenPlots, Answers: answers, Out: []string{filepath.Join(dir, "no", "marks.csv")}}, "no such file"},
	} {
		var out bytes.Buffer
		row.opt.Stdout, row.opt.Stderr = &out, &out
		err := Run(row.opt)
		require.Error(t, err)
		assert.Contains(t, out.String()+err.Error(), row.says)
	}
	left, err := filepath.Glob(filepath.Join(dir, ".squaremark-*"))
	require.NoError(t, err)
	assert.Empty(t, left)
}

// The bar is one line, grows, and is cleared.
func TestBar(t *testing.T) {
	var out bytes.Buffer
	tell := bar(&out, 4)
	for i := 1; i <= 4; i++ {
		tell(i)
	}
	assert.NotContains(t, out.String(), "\n")
	assert.Contains(t, out.String(), "1 of 4")
	assert.Regexp(t, regexp.MustCompile(`\r +\r$`), out.String())
}

// Ten thousand sheets whose answers repeat as they do in a class.
func BenchmarkGrade(b *testing.B) { benchmark(b, invented(10_000)) }

// Sheets with no answer twice: the price of one sheet where nothing repeats.
func BenchmarkGradeAllDifferent(b *testing.B) {
	rows := invented(300)
	for i, row := range rows[1:] {
		for k := range row[1:] {
			if row[k+1] != "" {
				row[k+1] += strings.Repeat(" ", i)
			}
		}
	}
	benchmark(b, rows)
}

func benchmark(b *testing.B, rows [][]string) {
	marker := gardenMarker(b)
	data, err := os.ReadFile(tableFile(b, rows, ','))
	require.NoError(b, err)
	entries, _, err := Read("a.csv", data, questionIDs(marker.Rubric()))
	require.NoError(b, err)
	for b.Loop() {
		Grade(marker, entries, 0, nil)
	}
	b.ReportMetric(b.Elapsed().Seconds()/float64(b.N*len(entries))*10_000, "s/10000sets")
}
