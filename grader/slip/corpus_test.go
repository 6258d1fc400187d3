package slip

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/algebra"
	"squaremark/algebra/budget"
)

// argument is a chain of the engine's own tables.
type argument struct {
	title, claim string
	start        algebra.Start
	vars         []algebra.Declared
	given        []string
	lines        []algebra.Line
}

// arguments reads algebra/testdata/chains: every letter is a variable.
func arguments(t testing.TB) []argument {
	names, err := filepath.Glob("../../algebra/testdata/chains/*.txt")
	require.NoError(t, err)
	require.NotEmpty(t, names)
	var list []argument
	links := strings.NewReplacer("⇔", "<=>", "⇒", "=>", "⇐", "<=")
	for _, name := range names {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		for _, block := range strings.Split(string(data), "\n\n") {
			a := argument{}
			whole := map[string]string{}
			for _, line := range strings.Split(block, "\n") {
				key, value, _ := strings.Cut(line, ":")
				value = strings.TrimSpace(value)
				switch {
				case strings.HasPrefix(line, " "):
					written, _, _ := strings.Cut(line, "//")
					link, formula, _ := strings.Cut(strings.TrimSpace(written), " ")
					if link = links.Replace(link); link == "." {
						link = ""
					}
					a.lines = append(a.lines, algebra.Line{Text: strings.TrimSpace(formula), Link: link})
				case key == "chain":
					a.title = value
				case key == "claim":
					a.claim = value
				case key == "start":
					a.start = algebra.Start(value)
				case key == "given":
					for _, g := range strings.Split(value, ";") {
						a.given = append(a.given, strings.TrimSpace(g))
					}
				case key == "integer", key == "positive integer":
					for _, v := range strings.Split(value, ",") {
						whole[strings.TrimSpace(v)] = key
					}
				}
			}
			if a.claim == "" {
				continue
			}
			for _, r := range "abcdefghijklmnopqrstuvwxyz" {
				a.vars = append(a.vars, algebra.Declared{Name: string(r), Range: whole[string(r)]})
			}
			list = append(list, a)
		}
	}
	return list
}

// A step that is right has no slip. Even if it were called wrong, none would
// be found behind a step that moves prove in both directions.
func TestNoSlipBehindWhatIsRight(t *testing.T) {
	right, wrong, named := 0, 0, 0
	for _, a := range arguments(t) {
		q, bad := algebra.NewQuestion(a.vars, a.given, budget.Default())
		if bad != nil {
			continue
		}
		f := NewFinder(a.vars, a.given, budget.Default())
		for _, s := range q.Steps(a.claim, a.lines, a.start).Steps {
			found := f.Step(s.Label, s.Before, s.After)
			switch s.Label {
			case algebra.StepOK:
				right++
				assert.Empty(t, found, "%s: line %d", a.title, s.Line+1)
				if s.Link == "<=>" && s.Forward == algebra.Holds && s.Backward == algebra.Holds {
					assert.Empty(t, ids(f.Step(algebra.StepWrong, s.Before, s.After)), "%s: line %d: %s, %s", a.title, s.Line+1, s.Before, s.After)
				}
			case algebra.StepUnreadable, algebra.StepUnsettled:
				assert.Empty(t, found, "%s: line %d", a.title, s.Line+1)
			default:
				wrong++
				if len(found) > 0 {
					named++
				} else {
					t.Logf("no slip: %s: %s: %s, %s", s.Label, a.title, s.Before, s.After)
				}
			}
		}
	}
	assert.Greater(t, right, 100)
	assert.Greater(t, 2*named, wrong, "%d of %d", named, wrong)
	t.Logf("%d right steps, %d others, %d of these with a slip", right, wrong, named)
}
