package algebra_test

import (
	"bufio"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/algebra"
	"squaremark/algebra/budget"
)

// corpusRow is one line of testdata/integers.txt or testdata/squareforms.txt
// with what it stands under; the formats are told at the head of the files.
type corpusRow struct {
	place    string
	vars     []algebra.Declared
	word     string // the first word of the line
	text     string // the rest up to ::
	expected string // what comes after ::
}

func readCorpus(t testing.TB, name string) []corpusRow {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	require.NoError(t, err)
	defer func() { assert.NoError(t, f.Close()) }()
	var rows []corpusRow
	var vars []algebra.Declared
	n := 0
	for s := bufio.NewScanner(f); s.Scan(); {
		n++
		line := strings.TrimSpace(s.Text())
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		word, rest, _ := strings.Cut(line, " ")
		text, expected, _ := strings.Cut(rest, "::")
		row := corpusRow{
			place: name + ":" + itoa(n), vars: vars, word: word,
			text: strings.ReplaceAll(strings.TrimSpace(text), "⏎", "\n"), expected: strings.TrimSpace(expected),
		}
		switch word {
		case "let":
			names, r, _ := strings.Cut(row.text, ":")
			for _, v := range strings.Split(names, ",") {
				vars = append(vars, algebra.Declared{Name: strings.TrimSpace(v), Range: strings.TrimSpace(r)})
			}
		case "end":
			vars = nil
		default:
			rows = append(rows, row)
		}
	}
	require.NotEmpty(t, rows)
	return rows
}

func (r corpusRow) question(t testing.TB) *algebra.Question {
	t.Helper()
	q, bad := algebra.NewQuestion(r.vars, nil, budget.Default())
	require.Nil(t, bad, r.place)
	return q
}

// members writes a set as the corpus does.
func members(list []algebra.Tuple, text string) string {
	if len(list) == 0 && text != "" {
		return text
	}
	var out []string
	for _, tuple := range list {
		item := strings.Join(tuple, ", ")
		if len(tuple) > 1 {
			item = "(" + item + ")"
		}
		out = append(out, item)
	}
	return strings.Join(out, ", ")
}

// Integer questions and answers as pupils type them: the solutions, and what
// an answer lacks or has too much.
func TestIntegerCorpus(t *testing.T) {
	var solve, unknowns []string
	counts := map[string]int{}
	for _, row := range readCorpus(t, "integers.txt") {
		q := row.question(t)
		counts[row.word]++
		if row.word == "solve" {
			solve, unknowns = strings.Split(row.text, " & "), nil
			for _, v := range row.vars {
				unknowns = append(unknowns, v.Name)
			}
			out := q.Integers(solve, unknowns, nil)
			require.Nil(t, out.Unreadable, row.place)
			got := members(out.Solutions, out.Infinite)
			if got == "" {
				got = "none"
			}
			assert.Equal(t, row.expected, got, "%s: %s (%s)", row.place, row.text, out.Reason)
			assert.NotNil(t, out.Evidence, row.place)
			continue
		}
		out := q.Integers(solve, unknowns, &row.text)
		if row.word == "refused" {
			assert.NotNil(t, out.Unreadable, "%s: %q", row.place, row.text)
			continue
		}
		if !assert.Nil(t, out.Unreadable, "%s: %q %v", row.place, row.text, out.Unreadable) {
			continue
		}
		want := algebra.Fails
		if row.word == "right" {
			want = algebra.Holds
		}
		assert.Equal(t, want, out.Verdict, "%s: %q read as %q (%s)", row.place, row.text, out.ParsedText, out.Reason)
		assert.Equal(t, row.word != "again", out.AnswerIsSet, "%s: %q", row.place, row.text)
		var parts []string
		if text := members(out.Missing, out.MissingText); text != "" {
			parts = append(parts, "missing "+text)
		}
		if text := members(out.Extra, out.ExtraText); text != "" {
			parts = append(parts, "extra "+text)
		}
		assert.Equal(t, row.expected, strings.Join(parts, " "), "%s: %q", row.place, row.text)
	}
	t.Log(counts)
	for _, word := range []string{"solve", "right", "wrong", "again", "refused"} {
		assert.NotZero(t, counts[word], word)
	}
}

// Square forms as pupils write them: equal or not, a square form or not, and
// the constant that remains.
func TestSquareFormCorpus(t *testing.T) {
	expression := ""
	counts := map[string]int{}
	for _, row := range readCorpus(t, "squareforms.txt") {
		counts[row.word]++
		if row.word == "form" {
			expression = row.text
			continue
		}
		out := row.question(t).SquareForm(expression, row.text)
		if row.word == "refused" {
			assert.NotNil(t, out.Unreadable, "%s: %s", row.place, row.text)
			continue
		}
		if !assert.Nil(t, out.Unreadable, "%s: %s %v", row.place, row.text, out.Unreadable) {
			continue
		}
		equal, form := row.word == "good" || row.word == "equal", row.word == "good" || row.word == "other"
		assert.Equal(t, equal, out.Verdict == algebra.Holds, "%s: %s", row.place, row.text)
		assert.Equal(t, !equal, out.Verdict == algebra.Fails && out.Witness != nil, "%s: %s (%s)", row.place, row.text, out.Reason)
		assert.Equal(t, form, out.IsSquareForm, "%s: %s %s", row.place, row.text, out.Shape)
		assert.Equal(t, row.expected, out.Remaining, "%s: %s", row.place, row.text)
	}
	t.Log(counts)
	for _, word := range []string{"form", "good", "other", "equal", "neither", "refused"} {
		assert.NotZero(t, counts[word], word)
	}
}
