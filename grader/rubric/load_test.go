package rubric

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/algebra/source"
	"squaremark/grader/internal/expect"
)

func files(t *testing.T, pattern string) []string {
	t.Helper()
	names, err := filepath.Glob(pattern)
	require.NoError(t, err)
	require.NotEmpty(t, names, "no test data in %s", pattern)
	return names
}

func TestBadFiles(t *testing.T) {
	for _, name := range files(t, "testdata/bad/*.yaml") {
		t.Run(filepath.Base(name), func(t *testing.T) {
			data, err := os.ReadFile(name)
			require.NoError(t, err)
			r, diags := LoadFile(name)
			assert.Nil(t, r)
			assert.Empty(t, expect.Compare(string(data), diags))
			for _, d := range diags {
				assert.Equal(t, name, d.File)
				assert.NotZero(t, d.At.Start.Column, d.Error())
				assert.NotEmpty(t, d.Message)
			}
		})
	}
}

func TestGoodFiles(t *testing.T) {
	for _, name := range files(t, "testdata/good/*.yaml") {
		r, diags := LoadFile(name)
		assert.Empty(t, source.Print(diags, nil), name)
		assert.NotNil(t, r, name)
	}
}

func TestEveryKeyIsRead(t *testing.T) {
	r, diags := LoadFile("testdata/good/kinds.yaml")
	require.Empty(t, diags)
	assert.Equal(t, "Border beds, it's spring", r.Title.Value)
	assert.Equal(t, "en-GB", r.Language.Value)
	assert.Equal(t, "17/2", MarksText(r.Total))
	require.Len(t, r.Questions, 5)

	n := r.Questions[0]
	assert.Equal(t, Rules{Leap: Half, OneWay: Zero, SilentLink: Full, Unreadable: Person}, n.Rules)
	assert.Equal(t, []string{"n^2 < 12", "n != 0"}, []string{n.Solve[0].Value, n.Solve[1].Value})
	assert.Equal(t, "n", n.Unknowns[0].Value)
	assert.False(t, n.OwnMarks)
	assert.Equal(t, "2", MarksText(n.Total))
	assert.Equal(t, "1", n.Examples[0].Answer.Text.Value, "a bare number is its text")

	s := r.Questions[1]
	assert.Equal(t, "1/4", MarksText(s.Marks[0].Worth), "a decimal fraction is exact")
	assert.True(t, s.Marks[0].FollowThrough, "method marks follow through")
	assert.Equal(t, []string{"equal", "square-form"}, []string{s.Marks[1].For[0].Value, s.Marks[1].For[1].Value})
	assert.False(t, s.Marks[1].FollowThrough)

	c := r.Questions[2]
	assert.Equal(t, Person, c.Rules.Leap)
	assert.Equal(t, "Show that a border is never shorter.", c.Prompt.Value)
	require.Len(t, c.Model.Lines, 2)
	assert.Equal(t, "<=>", c.Model.Lines[1].Link)
	assert.Equal(t, "(a - b)^2 >= 0", c.Model.Lines[1].Text.Value)
	assert.True(t, c.Marks[2].ForAny)
	assert.Equal(t, "bracket-sign", c.Marks[2].Slips[0].Value)
	assert.Equal(t, NoHints, c.Hints)
	assert.Equal(t, MethodHints, s.Hints, "as in the quiz")
	require.Len(t, c.BestOf, 2)
	assert.Equal(t, "x1", c.BestOf[1][0].Value)
	require.Len(t, c.Caps, 1)
	assert.Equal(t, "links-written", c.Caps[0].Unless.Value)
	assert.Equal(t, "2", MarksText(c.Total), "the best group counts")
}

// FIPS 180-4 example values: the digest of "abc".
func TestDigest(t *testing.T) {
	assert.Equal(t, "sha256:ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", Digest([]byte("abc")))
}

func TestLoadDir(t *testing.T) {
	dir := t.TempDir()
	write := func(name, quiz string) {
		text := "{rubric: 1, quiz: " + quiz + ", questions: [{id: a, kind: square-form, prompt: p, variables: {x: real}, expression: x^2, model: x^2}]}"
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	_, diags := LoadDir(dir)
	assert.Equal(t, "cannot-read", diags[0].Code, "an empty folder is told")
	write("2.yaml", "second")
	write("1.yml", "first")
	write("3.txt", "third")
	rubrics, diags := LoadDir(dir)
	assert.Empty(t, diags)
	require.Len(t, rubrics, 2)
	assert.Equal(t, "first", rubrics[0].Quiz.Value)
	write("4.yaml", "first")
	rubrics, diags = LoadDir(dir)
	require.Len(t, diags, 1)
	assert.Equal(t, "duplicate-quiz", diags[0].Code)
	assert.Len(t, rubrics, 2)
	_, diags = LoadDir(filepath.Join(dir, "absent"))
	assert.Equal(t, "cannot-read", diags[0].Code)
	_, diags = LoadFile(filepath.Join(dir, "absent.yaml"))
	assert.Equal(t, "cannot-read", diags[0].Code)
}

func TestBounds(t *testing.T) {
	big := make([]byte, maxBytes+1)
	for i := range big {
		big[i] = ' '
	}
	code := func(data []byte) string {
		r, diags := Load("x.yaml", data)
		require.Nil(t, r)
		require.NotEmpty(t, diags)
		return diags[0].Code
	}
	assert.Equal(t, "file-too-large", code(big))
	assert.Equal(t, "not-utf-8", code([]byte("rubric: \xff")))
	assert.Equal(t, "control-character", code([]byte("rubric: \x00")))
	assert.Equal(t, "one-document", code(nil))
	assert.Equal(t, "one-document", code([]byte("a: 1\n---\nb: 2\n")))
	bomb := "a: &a [x,x,x,x]\nb: &b [*a,*a,*a,*a]\nc: &c [*b,*b,*b,*b]\n"
	assert.Equal(t, "no-aliases", code([]byte(bomb)))
	many := []byte("rubric: 1\nquiz: q\nquestions:\n")
	for i := 0; i < maxQuestions+1; i++ {
		many = append(many, "  - {}\n"...)
	}
	assert.Equal(t, "too-many", code(many))
}

// Files made to cost time are refused within seconds.
func TestHostileFilesEndSoon(t *testing.T) {
	for name, text := range map[string]string{
		"keys":     strings.Repeat("a: b\n", 50000),
		"fewer":    strings.Repeat("a: b\n", maxKeys-1),
		"quoted":   strings.Repeat("\"a\": 'b'\n", 25000),
		"dashes":   strings.Repeat("- ", 100000),
		"brackets": strings.Repeat("[", 250000),
		"braces":   strings.Repeat("{", 250000),
		"quotes":   strings.Repeat("'", 250000),
		"commas":   "a: [" + strings.Repeat("x,", 100000) + "]",
		"list":     "a:\n" + strings.Repeat("- x\n", 60000),
		"anchors":  strings.Repeat("&a ", 80000),
		"lines":    "a: |\n" + strings.Repeat("  x\n", 60000),
	} {
		start := time.Now()
		r, diags := Load("x.yaml", []byte(text))
		assert.Nil(t, r, name)
		assert.NotEmpty(t, diags, name)
		assert.Less(t, time.Since(start), 15*time.Second, name)
	}
}

func FuzzLoad(f *testing.F) {
	for _, pattern := range []string{"testdata/bad/*.yaml", "testdata/good/*.yaml"} {
		names, err := filepath.Glob(pattern)
		if err != nil {
			f.Fatal(err)
		}
		for _, name := range names {
			data, err := os.ReadFile(name)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(data)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		r, diags := Load("x.yaml", data)
		failed := false
		for _, d := range diags {
			failed = failed || d.Severity == source.Error
			if d.Code == "" || d.Message == "" || d.File != "x.yaml" {
				t.Errorf("a diagnostic without code, message or file: %+v", d)
			}
		}
		if (r == nil) != failed {
			t.Errorf("rubric %v with diagnostics %v", r != nil, diags)
		}
		if r == nil {
			return
		}
		for _, q := range r.Questions {
			if q.Total.Sign() <= 0 || q.Model.At.Start.IsZero() {
				t.Errorf("a question without marks or model answer: %+v", q)
			}
		}
	})
}
