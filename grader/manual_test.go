package grader

import (
	"flag"
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/algebra/move"
	"squaremark/algebra/source"
	"squaremark/grader/internal/expect"
	"squaremark/grader/rubric"
	"squaremark/grader/slip"
)

var update = flag.Bool("update", false, "write the generated parts of the manual and the golden answers anew")

const manual = "rubric/RUBRICS.md"

// Every example of the manual is a file that passes, or one that fails with
// the faults written beside its lines.
func TestExamplesOfTheManual(t *testing.T) {
	data, err := os.ReadFile(manual)
	require.NoError(t, err)
	blocks := regexp.MustCompile("(?s)```yaml\n(.*?)```").FindAllStringSubmatch(string(data), -1)
	require.GreaterOrEqual(t, len(blocks), 4)
	for i, b := range blocks {
		name := fmt.Sprintf("example %d", i+1)
		r, diags := rubric.Load(name, []byte(b[1]))
		if r != nil {
			diags = append(diags, Check(r)...)
		}
		if strings.Contains(b[1], "# want") {
			assert.Empty(t, expect.Compare(b[1], diags), name)
			continue
		}
		assert.Empty(t, source.Print(diags, func(string) string { return b[1] }), name)
	}
}

// The lists of the manual are made from the catalogues.
func TestManualIsCurrent(t *testing.T) {
	data, err := os.ReadFile(manual)
	require.NoError(t, err)
	text := string(data)
	for name, list := range map[string]string{
		"defaults": listDefaults(), "keys": listKeys(), "findings": listFindings(), "slips": listSlips(), "moves": listMoves(),
	} {
		begin, end := "<!-- generated: "+name+" -->\n", "<!-- end -->"
		i := strings.Index(text, begin)
		require.GreaterOrEqual(t, i, 0, name)
		i += len(begin)
		j := i + strings.Index(text[i:], end)
		if *update {
			text = text[:i] + list + text[j:]
			continue
		}
		assert.Equal(t, list, text[i:j], "%s: run go test ./grader -run Manual -update", name)
	}
	if *update {
		require.NoError(t, os.WriteFile(manual, []byte(text), 0o644))
	}
}

func listDefaults() string {
	var b strings.Builder
	for _, k := range rubric.Kinds {
		for _, c := range rubric.DefaultMarks(k) {
			join := " and "
			if c.ForAny {
				join = " or "
			}
			fmt.Fprintf(&b, "| %s | %s | %s | %s | %s | %s |\n", k, c.ID.Value, c.Type, c.Worth.RatString(),
				strings.Join(values(c.For), join), strings.Join(values(c.Needs), ", "))
		}
	}
	return b.String()
}

func listKeys() string {
	var b strings.Builder
	for _, part := range []string{"quiz", "rules", "question", "criterion", "cap", "example"} {
		fmt.Fprintf(&b, "In %s:\n\n", rubric.PartName(part))
		for _, k := range rubric.KeysOf(part) {
			need := ""
			switch {
			case k.Needed == "always":
				need = " (needed)"
			case k.Only != "":
				need = fmt.Sprintf(" (%s)", k.Only)
			}
			fmt.Fprintf(&b, "- `%s`%s: %s\n", k.Name, need, k.Meaning)
		}
		b.WriteByte('\n')
	}
	return b.String()
}

func listFindings() string {
	var b strings.Builder
	kinds := func(list []rubric.Kind) string {
		words := make([]string, len(list))
		for i, k := range list {
			words[i] = string(k)
		}
		return strings.Join(words, ", ")
	}
	b.WriteString("| finding | kinds | meaning |\n| --- | --- | --- |\n")
	for _, f := range rubric.Findings {
		if f.Earns {
			fmt.Fprintf(&b, "| `%s` | %s | %s |\n", f.Code, kinds(f.Kinds), f.Meaning)
		}
	}
	b.WriteString("\nThese explain a result and earn nothing:\n\n| finding | kinds | meaning |\n| --- | --- | --- |\n")
	for _, f := range rubric.Findings {
		if !f.Earns {
			fmt.Fprintf(&b, "| `%s` | %s | %s |\n", f.Code, kinds(f.Kinds), f.Meaning)
		}
	}
	return b.String()
}

func listSlips() string {
	var b strings.Builder
	b.WriteString("| slip | kinds | what happened | for example |\n| --- | --- | --- | --- |\n")
	for _, s := range slip.Catalogue() {
		e := s.Examples[0]
		fmt.Fprintf(&b, "| `%s` | %s | %s | `%s` gives `%s` |\n", s.ID, strings.Join(s.Kinds, ", "), s.Text, e.Ask, e.Written)
	}
	return b.String()
}

func listMoves() string {
	var ids []string
	for _, m := range move.Catalogue {
		ids = append(ids, "`"+m.ID+"`")
	}
	return strings.Join(ids, ", ") + ".\n"
}
