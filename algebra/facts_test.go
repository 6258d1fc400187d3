package algebra_test

import (
	"bufio"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/algebra"
	"squaremark/algebra/budget"
)

// fact is one line of testdata/facts: the format is told at the head of the
// first file there.
type fact struct {
	place     string
	vars      []algebra.Declared
	given     []string
	verdict   string
	statement string
}

func readFacts(t testing.TB, pattern string) []fact {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("testdata", "facts", pattern))
	require.NoError(t, err)
	var facts []fact
	for _, name := range files {
		f, err := os.Open(name)
		require.NoError(t, err)
		var vars []algebra.Declared
		var given []string
		n := 0
		for s := bufio.NewScanner(f); s.Scan(); {
			n++
			line, _, _ := strings.Cut(s.Text(), ";")
			word, rest, _ := strings.Cut(strings.TrimSpace(line), " ")
			rest = strings.TrimSpace(rest)
			switch word {
			case "", "#":
			case "let":
				names, r, ok := strings.Cut(rest, ":")
				require.True(t, ok, "%s:%d", name, n)
				for _, v := range strings.Split(names, ",") {
					vars = append(vars, algebra.Declared{Name: strings.TrimSpace(v), Range: strings.TrimSpace(r)})
				}
			case "given":
				given = append(given, rest)
			case "end":
				vars, given = nil, nil
			case "holds", "fails":
				facts = append(facts, fact{
					place: filepath.Base(name) + ":" + itoa(n), vars: append([]algebra.Declared(nil), vars...),
					given: append([]string(nil), given...), verdict: word, statement: rest,
				})
			default:
				require.True(t, strings.HasPrefix(word, "#"), "%s:%d: expected holds, fails, let, given or end, found %s", name, n, word)
			}
		}
		require.NoError(t, f.Close())
	}
	require.NotEmpty(t, facts)
	return facts
}

func itoa(n int) string {
	if n < 10 {
		return string(rune('0' + n))
	}
	return itoa(n/10) + string(rune('0'+n%10))
}

func (f fact) ask(t testing.TB) algebra.Outcome {
	q, bad := algebra.NewQuestion(f.vars, f.given, budget.Default())
	require.Nil(t, bad, f.place)
	out := q.Truth(f.statement)
	require.Nil(t, out.Unreadable, "%s: %v", f.place, out.Unreadable)
	return out
}

// unsettledAllowed is how many facts the engine may leave open. It may only
// fall.
const unsettledAllowed = 40

// TestPublishedFacts asks published facts and false neighbours of them: no
// verdict may be wrong, and few may be left open.
func TestPublishedFacts(t *testing.T) {
	facts := readFacts(t, "*.txt")
	open := 0
	for _, f := range facts {
		begin := time.Now()
		out := f.ask(t)
		took := time.Since(begin)
		if took > 50*time.Millisecond {
			t.Logf("slow: %s %v %s", f.place, took.Round(time.Millisecond), f.statement)
		}
		if out.Verdict == algebra.Unsettled {
			open++
			t.Logf("open: %s %s (%s)", f.place, f.statement, out.Reason)
			continue
		}
		assert.Equal(t, f.verdict, out.Verdict.String(), "%s: %s %v", f.place, f.statement, out.Witness)
		if out.Verdict == algebra.Fails {
			assert.NotNil(t, out.Witness, f.place)
		}
		assert.NotNil(t, out.Evidence, f.place)
	}
	t.Logf("%d facts, %d left open", len(facts), open)
	assert.LessOrEqual(t, open, unsettledAllowed)
}
