package marking

import (
	"encoding/binary"
	"fmt"
	"os"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/goccy/go-yaml"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/grader"
)

// tableCase is a row of testdata/tables.yaml.
type tableCase struct {
	What   string   `yaml:"what"`
	File   string   `yaml:"file"`
	Pupils []string `yaml:"pupils"` // "id | bed | path"
	Notes  []string `yaml:"notes"`
	Fails  string   `yaml:"fails"`
}

var tableQuestions = []string{"bed", "path"}

func tableCases(t testing.TB) []tableCase {
	t.Helper()
	data, err := os.ReadFile("testdata/tables.yaml")
	require.NoError(t, err)
	var cases []tableCase
	require.NoError(t, yaml.UnmarshalWithOptions(data, &cases, yaml.Strict()))
	require.Greater(t, len(cases), 20)
	return cases
}

func plain(entries []Entry) []string {
	var list []string
	for _, e := range entries {
		line := e.Pupil
		for _, id := range tableQuestions {
			line += " | " + strings.ReplaceAll(typed(e.Answers[id]), "\n", " / ")
		}
		list = append(list, line)
	}
	return list
}

func TestTables(t *testing.T) {
	for _, c := range tableCases(t) {
		t.Run(c.What, func(t *testing.T) {
			entries, notes, err := Read("a.csv", []byte(c.File), tableQuestions)
			if c.Fails != "" {
				require.Error(t, err)
				assert.Equal(t, c.Fails, err.Error())
				assert.Empty(t, entries)
				return
			}
			require.NoError(t, err)
			assert.Equal(t, c.Pupils, plain(entries))
			assert.Equal(t, c.Notes, notes)
		})
	}
}

// Byte order marks, UTF-16 in both orders, and other encodings.
func TestEncodings(t *testing.T) {
	text := "id\tbed\tpath\r\np-01\t≥ 2\t𝑥\r\n"
	wide := func(order binary.AppendByteOrder) []byte {
		var out []byte
		for _, u := range utf16.Encode([]rune("\ufeff" + text)) {
			out = order.AppendUint16(out, u)
		}
		return out
	}
	for _, data := range [][]byte{[]byte(text), []byte("\ufeff" + text), wide(binary.LittleEndian), wide(binary.BigEndian)} {
		entries, _, err := Read("a.csv", data, tableQuestions)
		require.NoError(t, err)
		assert.Equal(t, []string{"p-01 | ≥ 2 | 𝑥"}, plain(entries))
	}
	_, _, err := Read("a.csv", []byte("id,bed\np-01,n\xb2\n"), tableQuestions)
	assert.EqualError(t, err, "a.csv:2: this line is not UTF-8; save the file again as CSV with the character set UTF-8")
	_, _, err = Read("a.csv", []byte("id,bed\np-01,n\x00\n"), tableQuestions)
	assert.ErrorContains(t, err, "a.csv:2: this line holds a zero byte")
}

// Whatever the bytes: no panic, and what is read has ids, each once, and
// answers to known questions only.
func FuzzCSV(f *testing.F) {
	for _, c := range tableCases(f) {
		f.Add([]byte(c.File))
	}
	f.Add([]byte("\xff\xfei\x00d\x00"))
	f.Fuzz(func(t *testing.T, data []byte) {
		entries, _, err := Read("a.csv", data, tableQuestions)
		if err != nil {
			assert.Empty(t, entries)
			assert.Contains(t, err.Error(), "a.csv")
			return
		}
		seen := map[string]bool{}
		for _, e := range entries {
			assert.NotEmpty(t, e.Pupil)
			assert.False(t, seen[e.Pupil])
			seen[e.Pupil] = true
			assert.Positive(t, e.Line)
			if !strings.HasPrefix(strings.TrimSpace(strings.TrimPrefix(string(data), "\ufeff")), "{") {
				for id := range e.Answers {
					assert.Contains(t, tableQuestions, id)
				}
			}
		}
	})
}

// What is written as a table with any separator is read back as it was.
func TestTableRoundTrip(t *testing.T) {
	rows := invented(50)
	for _, sep := range separators {
		data := []byte(read(t, tableFile(t, rows, sep)))
		var ids []string
		for _, q := range bank {
			ids = append(ids, q.id)
		}
		entries, notes, err := Read("a.csv", data, ids)
		require.NoError(t, err)
		assert.Empty(t, notes)
		require.Len(t, entries, len(rows)-1)
		for i, e := range entries {
			assert.Equal(t, rows[i+1][0], e.Pupil)
			for k, id := range ids {
				assert.Equal(t, rows[i+1][k+1], e.Answers[id].Text)
			}
		}
	}
}

func TestTooManyEntries(t *testing.T) {
	var b strings.Builder
	b.WriteString("id,bed\n")
	for i := range maxEntries + 1 {
		fmt.Fprintf(&b, "%d,1\n", i)
	}
	_, _, err := Read("a.csv", []byte(b.String()), tableQuestions)
	assert.ErrorContains(t, err, "at most 200000")
}

// Lists of lines are chains with links.
func TestObjectLines(t *testing.T) {
	entries, _, err := Read("a.jsonl", []byte(`{"pupil":"p","answers":{"bed":["x","=> y",{"text":"z","link":"<=>"}]}}`), tableQuestions)
	require.NoError(t, err)
	assert.Equal(t, []grader.Line{{Text: "x"}, {Text: "=> y"}, {Text: "z", Link: "<=>"}}, entries[0].Answers["bed"].Lines)
}
