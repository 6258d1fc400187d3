package marking

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"squaremark/grader"
	"squaremark/grader/rubric"
)

const gardenPlots = "testdata/quiz.yaml"

func gardenMarker(t testing.TB) *grader.Marker {
	t.Helper()
	r, diags := rubric.LoadFile(gardenPlots)
	require.NotNil(t, r, "%v", diags)
	marker, diags := grader.Compile(r)
	require.NotNil(t, marker, "%v", diags)
	return marker
}

// bank holds answers to the questions of the demo quiz, from right to wrong.
// A number %d becomes a number near the right one.
var bank = []struct {
	id           string
	hard         float64 // the larger, the fewer answer it right
	right, wrong []string
}{
	{"square-bed", 0.2,
		[]string{"1, 2, 3, 4, 5, 6, 7", "{1,2,3,4,5,6,7}", "1 ≤ n ≤ 7", "n = 1, 2, 3, 4, 5, 6 or 7"},
		[]string{"4, 5, 6, 7", "-3, -2, -1, 0, 1, 2, 3", "0, 1, 2, 3, 4, 5, 6, 7", "1, 2, 3, 4, 5, %d", "1 2 3 4 5 6 7"}},
	{"two-paths", 0.4,
		[]string{"(1, 4), (5, 2)", "(5,2); (1,4)", "p = 5, q = 2 or p = 1, q = 4"},
		[]string{"(4, 1), (2, 5)", "(5, 2)", "(1, 4), (5, 2), (-5, 2)", "none", "(1, %d)"}},
	{"far-fence", 0.5,
		[]string{"n <= -1 or n >= 6", "n ≥ 6 or n ≤ −1", "n < 0 or n > 5"},
		[]string{"n >= 6", "n < -1 or n > 6", "0, 1, 2, 3, 4, 5", "n >= %d", "n ≤ −1 and"}},
	{"paving", 0.3,
		[]string{"(x - 7)^2 + 11", "11 + (7 - x)²", "(x-7)^{2}+11"},
		[]string{"(x - 7)^2 + 60", "(x + 7)^2 + 11", "(x - 7)^2 + 109", "(x - 7)^2 + %d", "(x - 7)^^2 + 11"}},
	{"two-beds", 0.6,
		[]string{"2(u + v)^2 + 3v^2 + 9", "u² + (u + 2v)² + v² + 9"},
		[]string{"2(u + v)^2 + 3v^2", "2(u - v)^2 + 3v^2 + 9", "2(u + v)^2 + %dv^2 + 9", "(2u + 2v)^2 + 3v^2 + 9"}},
	{"shaded-side", 0.5,
		[]string{"x^2 + 50 > 14x\n<=> x^2 - 14x + 50 > 0\n<=> (x - 7)^2 + 1 > 0", "(x - 7)² ≥ 0\n⇒ x² − 14x + 49 ≥ 0\n⇒ x² − 14x + 50 > 0\n⇒ x² + 50 > 14x"},
		[]string{"x^2 + 50 > 14x\n=> x^2 - 14x + 50 > 0\n=> (x - 7)^2 + 1 > 0", "x^2 + 50 > 14x\n<=> x^2 + 14x + 50 > 0\n<=> (x + 7)^2 + 1 > 0",
			"x^2 + 50 > 14x\n<=> x^2 - 14x + 50 > 0\n<=> (x - 7)^2 + 50 > 0", "x^2 + 50 > 14x\n<=> x^2 - 14x + %d > 0", "x^2 + 50 > 14x\n<=> (x - 7)^2 + 1 >> 0"}},
	{"exchange", 0.8,
		[]string{"4a/b + 9b/a >= 12\n<=> 4a^2 + 9b^2 >= 12ab\n<=> (2a - 3b)^2 >= 0", "(2a - 3b)^2 ≥ 0\n⇒ 4a^2 + 9b^2 ≥ 12ab\n⇒ 4a/b + 9b/a ≥ 12"},
		[]string{"4a/b + 9b/a >= 12\n<=> 4a^2 + 9b^2 >= 12ab\n<=> (2a - 3b)^2 > 0", "4a/b + 9b/a >= 12\n=> 4a^2 + 9b^2 >= 12ab\n=> (2a - 3b)^2 >= 0",
			"4a/b + 9b/a >= 12\n<=> 0 >= 0", "4a/b + 9b/a >= 12\n<=> 4a^2 + %db^2 >= 12ab"}},
	{"fair-share", 0.4,
		[]string{"(p - 2q)^2 >= 0\n=> p^2 - 4pq + 4q^2 >= 0\n=> p^2 + 4q^2 >= 4pq", "p^2 + 4q^2 >= 4pq\n<=> p^2 - 4pq + 4q^2 >= 0\n<=> (p - 2q)^2 >= 0"},
		[]string{"(p - 2q)^2 >= 0\n=> p^2 - 2pq + 4q^2 >= 0\n=> p^2 + 4q^2 >= 2pq", "(p + 2q)^2 >= 0\n=> p^2 + 4pq + 4q^2 >= 0\n=> p^2 + 4q^2 >= -4pq", "p^2 + 4q^2 >= 4pq\n=> (p - 2q)^2 >= 0"}},
}

// invented is a class of this size, always the same: pupils of different
// strength answer from the bank, and leave something out now and then.
func invented(size int) [][]string {
	rng := rand.New(rand.NewPCG(20261, 125))
	header := []string{"id"}
	for _, q := range bank {
		header = append(header, q.id)
	}
	rows := [][]string{header}
	for i := range size {
		strength := rng.Float64()
		row := []string{fmt.Sprintf("p-%04x", (i*7919+0x2a1)%0x10000)}
		for _, q := range bank {
			list := q.wrong
			switch roll := rng.Float64(); {
			case roll < 0.05:
				row = append(row, "")
				continue
			case roll < 0.55+0.6*(strength-q.hard):
				list = q.right
			}
			text := list[rng.IntN(len(list))]
			if strings.Contains(text, "%d") {
				text = fmt.Sprintf(text, 3+rng.IntN(9))
			}
			row = append(row, text)
		}
		rows = append(rows, row)
	}
	return rows
}

// table writes rows as a spreadsheet would.
func tableFile(t testing.TB, rows [][]string, sep rune) string {
	t.Helper()
	var b strings.Builder
	b.WriteString("\ufeff")
	w := csv.NewWriter(&b)
	w.Comma, w.UseCRLF = sep, true
	require.NoError(t, w.WriteAll(rows))
	name := filepath.Join(t.TempDir(), "answers.csv")
	require.NoError(t, os.WriteFile(name, []byte(b.String()), 0o600))
	return name
}

// objectFile writes rows as JSON Lines, chains as lists of lines.
func objectFile(t testing.TB, rows [][]string) string {
	t.Helper()
	var b strings.Builder
	for _, row := range rows[1:] {
		answers := map[string]any{}
		for i, cell := range row[1:] {
			switch {
			case cell == "":
			case strings.Contains(cell, "\n"):
				answers[rows[0][i+1]] = strings.Split(cell, "\n")
			default:
				answers[rows[0][i+1]] = cell
			}
		}
		line, err := json.Marshal(map[string]any{"pupil": row[0], "answers": answers})
		require.NoError(t, err)
		b.Write(line)
		b.WriteByte('\n')
	}
	name := filepath.Join(t.TempDir(), "answers.jsonl")
	require.NoError(t, os.WriteFile(name, []byte(b.String()), 0o600))
	return name
}
