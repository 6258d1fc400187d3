package draft

import (
	"bytes"
	"encoding/xml"
	"flag"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
	"pgregory.net/rapid"

	"squaremark/algebra/budget"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/cmd/squaremark/check"
	"squaremark/grader"
	"squaremark/grader/rubric"
)

var update = flag.Bool("update", false, "write the golden files anew")

// draftCase is a row of testdata/drafts.yaml.
type draftCase struct {
	Text      string   `yaml:"text"`
	Given     []string `yaml:"given"`
	Variables []string `yaml:"variables"`
	Kind      string   `yaml:"kind"`
	Model     string   `yaml:"model"`
	Remark    string   `yaml:"remark"`
	Slips     []string `yaml:"slips"`
	Alone     bool     `yaml:"alone"` // no siblings are made
	Fails     string   `yaml:"fails"`
}

func cases(t *testing.T) []draftCase {
	t.Helper()
	data, err := os.ReadFile("testdata/drafts.yaml")
	require.NoError(t, err)
	var list []draftCase
	require.NoError(t, yaml.UnmarshalWithOptions(data, &list, yaml.Strict()))
	require.Greater(t, len(list), 20)
	return list
}

// Each draft passes the check without a warning, has the model answer that a
// teacher would write, and siblings that differ.
func TestDrafts(t *testing.T) {
	for _, c := range cases(t) {
		t.Run(c.Text, func(t *testing.T) {
			dir := t.TempDir()
			var out, notes bytes.Buffer
			opt := Options{Text: c.Text, Given: c.Given, Variables: c.Variables, Siblings: 2, Seed: 7, Stdout: &out, Stderr: &notes,
				Page: filepath.Join(dir, "sheet.html"), LaTeX: filepath.Join(dir, "sheet.tex")}
			if c.Fails != "" || c.Alone || c.Model == "none" {
				opt.Siblings = 0
			}
			err := Run(opt)
			if c.Fails != "" {
				require.ErrorContains(t, err, c.Fails)
				assert.Empty(t, out.String())
				return
			}
			require.NoError(t, err)
			assert.Empty(t, notes.String())
			report := check.File("draft.yaml", out.Bytes())
			require.NotNil(t, report.Rubric)
			assert.Empty(t, report.Diagnostics)
			require.Len(t, report.Rubric.Questions, 1+opt.Siblings)
			first := report.Rubric.Questions[0]
			assert.Equal(t, c.Kind, string(first.Kind))
			assert.Equal(t, c.Model, modelText(first))
			if c.Remark != "" {
				assert.Contains(t, out.String(), "# "+c.Remark+"\n")
			}
			assert.Subset(t, slipsShown(t, report.Rubric), c.Slips)
			asked := map[string]bool{}
			for _, q := range report.Rubric.Questions {
				asked[squeezed(q.Prompt.Value)] = true
				assert.GreaterOrEqual(t, len(q.Examples), 1)
				assert.Equal(t, len(first.Model.Lines), len(q.Model.Lines))
			}
			assert.Len(t, asked, len(report.Rubric.Questions), "siblings differ")
			checkPage(t, opt.Page, 1+opt.Siblings)
			tex, err := os.ReadFile(opt.LaTeX)
			require.NoError(t, err)
			assert.Equal(t, strings.Count(string(tex), `\begin`), strings.Count(string(tex), `\end`))
			assert.Equal(t, strings.Count(string(tex), "{"), strings.Count(string(tex), "}"))
			assert.Equal(t, 2*(1+opt.Siblings), strings.Count(string(tex), `\item`))

			var again bytes.Buffer
			opt.Stdout, opt.Page, opt.LaTeX = &again, "", ""
			require.NoError(t, Run(opt))
			assert.Equal(t, out.String(), again.String(), "the same seed, the same file")
		})
	}
}

func modelText(q *rubric.Question) string {
	if q.Kind != rubric.Steps {
		return q.Model.Text.Value
	}
	var lines []string
	for _, l := range q.Model.Lines {
		lines = append(lines, strings.TrimSpace(l.Link+" "+l.Text.Value))
	}
	return strings.Join(lines, " / ")
}

// slipsShown are the slips that the grader names in the examples of the first
// question.
func slipsShown(t *testing.T, r *rubric.Rubric) []string {
	marker, diags := grader.Compile(r)
	require.NotNil(t, marker, "%v", diags)
	q := r.Questions[0]
	var list []string
	for _, e := range q.Examples {
		answer := grader.Answer{Text: e.Answer.Text.Value}
		for _, l := range e.Answer.Lines {
			answer.Lines = append(answer.Lines, grader.Line{Text: l.Text.Value, Link: l.Link})
		}
		out := marker.Grade(grader.Submission{Answers: map[string]grader.Answer{q.ID.Value: answer}})
		for _, f := range out.Questions[0].Findings {
			if f.Code == "slip" {
				list = append(list, f.Slip)
			}
		}
	}
	return list
}

// checkPage demands well-formed MathML, no script and no request.
func checkPage(t *testing.T, name string, questions int) {
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	text := string(data)
	for _, no := range []string{"<script", "src=", "href=", "url("} {
		assert.NotContains(t, text, no)
	}
	assert.Equal(t, 2*questions, strings.Count(text, "<li>"))
	for rest := text; ; {
		from := strings.Index(rest, "<math")
		if from < 0 {
			break
		}
		to := strings.Index(rest, "</math>") + len("</math>")
		d := xml.NewDecoder(strings.NewReader(rest[from:to]))
		for {
			if _, err := d.Token(); err == io.EOF {
				break
			} else if !assert.NoError(t, err) {
				return
			}
		}
		rest = rest[to:]
	}
	_, err = html.Parse(strings.NewReader(text))
	assert.NoError(t, err)
}

// A whole draft with worksheet, as files.
func TestGolden(t *testing.T) {
	dir := t.TempDir()
	var notes bytes.Buffer
	require.NoError(t, Run(Options{
		Text: "3x^2 - 24x + 55", Quiz: "path-costs", Title: "Path costs", Siblings: 2, Seed: 11, Stderr: &notes,
		Out: filepath.Join(dir, "path-costs.yaml"), Page: filepath.Join(dir, "path-costs.html"), LaTeX: filepath.Join(dir, "path-costs.tex"),
	}))
	assert.Empty(t, notes.String())
	for _, name := range []string{"path-costs.yaml", "path-costs.html", "path-costs.tex"} {
		got, err := os.ReadFile(filepath.Join(dir, name))
		require.NoError(t, err)
		golden := filepath.Join("testdata", name)
		if *update {
			require.NoError(t, os.WriteFile(golden, got, 0o644))
		}
		want, err := os.ReadFile(golden)
		require.NoError(t, err)
		assert.Equal(t, string(want), string(got))
	}
}

// Another seed gives other siblings; too many are refused; few that are found
// are kept, with a note.
func TestSiblings(t *testing.T) {
	text := func(seed uint64) string {
		var out bytes.Buffer
		require.NoError(t, Run(Options{Text: "x^2 + 50 > 14x", Siblings: 3, Seed: seed, Stdout: &out, Stderr: &out}))
		return out.String()
	}
	assert.NotEqual(t, text(1), text(2))
	assert.ErrorContains(t, Run(Options{Text: "x^2", Siblings: maxSiblings + 1}), "at most 30")
	assert.ErrorContains(t, Run(Options{Text: "x^2", Kind: "proof"}), "expected the kind")
	var out, notes bytes.Buffer
	require.NoError(t, Run(Options{Text: "x^4 + 3 >= 4x", Siblings: 1, Stdout: &out, Stderr: &notes}))
	assert.Contains(t, notes.String(), "no siblings")
	assert.Contains(t, out.String(), "claim-1")
	assert.NotContains(t, out.String(), "claim-2")
}

// What squares multiply out to is completed to squares again.
func TestSquares(t *testing.T) {
	ring := poly.NewRing([]string{"x", "y", "z"}, budget.New(limits()))
	rapid.Check(t, func(t *rapid.T) {
		small := func(label string) number.Num { return number.Int(rapid.Int64Range(-9, 9).Draw(t, label)) }
		p := ring.Const(small("k"))
		for i := range 3 {
			root := ring.Add(ring.Var(i), ring.Const(small("c")))
			for j := i + 1; j < 3; j++ {
				root = ring.Add(root, ring.Scale(ring.Var(j), small("a")))
			}
			p = ring.Add(p, ring.Scale(ring.Square(root), number.Int(rapid.Int64Range(1, 6).Draw(t, "d"))))
		}
		if rapid.Bool().Draw(t, "negative") {
			p = ring.Neg(p)
		}
		d, ok := squaresOf(ring, p)
		if !ok {
			t.Fatalf("not completed: %s", ring.String(p))
		}
		if !ring.Equal(d.sum(d.terms, d.constant), p) {
			t.Fatalf("%s is not %s", d.formText(), ring.String(p))
		}
		for _, term := range d.terms {
			if term.coef.Sign() != d.terms[0].coef.Sign() {
				t.Fatalf("signs differ: %s", d.formText())
			}
		}
		if root := rootText(ring, d.terms[0].root); !strings.Contains(root, "x") {
			t.Fatalf("no x in %s", root)
		}
	})
}

// What is no sum of squares is not taken for one.
func TestNoSquares(t *testing.T) {
	ring := poly.NewRing([]string{"x", "y"}, budget.New(limits()))
	x, y := ring.Var(0), ring.Var(1)
	for _, p := range []poly.Poly{
		{}, ring.Int(3), x, ring.Mul(x, y), ring.Sub(ring.Square(x), ring.Square(y)), ring.Add(ring.Square(x), y), ring.Pow(x, 3), ring.Pow(x, 4),
	} {
		_, ok := squaresOf(ring, p)
		assert.False(t, ok, ring.String(p))
	}
}

func TestTexts(t *testing.T) {
	assert.Equal(t, "x² + 50 ≥ 14x¹⁰", printed("x^2 + 50 >= 14x^10"))
	ring := poly.NewRing([]string{"x", "y"}, budget.New(limits()))
	read := func(text string) poly.Poly {
		s, err := newSetting(text, "square-form", []string{"x, y: real"}, nil)
		require.NoError(t, err)
		f, err := s.fraction(s.root)
		require.NoError(t, err)
		p, ok := s.scope.Ring.Map(f.Num, ring)
		require.True(t, ok)
		return p
	}
	for text, want := range map[string]string{
		"4 - x": "4 - x", "x - 4": "x - 4", "-x - y": "-x - y", "2y - 3x - 1": "2y - 3x - 1", "3/2*x*y - y": "3/2*xy - y",
	} {
		assert.Equal(t, want, rootText(ring, read(text)), text)
	}
}

// Numbers change, exponents and ones do not.
func TestOtherNumbers(t *testing.T) {
	s, err := newSetting("p^2 + 12q^{2} = 133 - 1", "integers", nil, nil)
	require.NoError(t, err)
	q := &question{setting: s}
	rng := rand.New(rand.NewPCG(4, 4))
	var seen []string
	for range 20 {
		text, changed := q.otherNumbers(rng)
		assert.True(t, changed)
		assert.True(t, strings.HasPrefix(text, "p^2 + ") && strings.Contains(text, "q^{2} = ") && strings.HasSuffix(text, " - 1"), text)
		seen = append(seen, text)
	}
	slices.Sort(seen)
	assert.Greater(t, len(slices.Compact(seen)), 15)
}

func TestQuoted(t *testing.T) {
	assert.Equal(t, `"a \"b\" \\c\n"`, quoted("a \"b\" \\c\n"))
	assert.Equal(t, `50 \% of x\_1 \& \textbackslash{}y`, escapeLaTeX(`50 % of x_1 & \y`))
}

// Whatever the text: no panic, and what is drafted passes the check.
func FuzzDraft(f *testing.F) {
	data, err := os.ReadFile("testdata/drafts.yaml")
	require.NoError(f, err)
	var list []draftCase
	require.NoError(f, yaml.Unmarshal(data, &list))
	for _, c := range list {
		f.Add(c.Text, strings.Join(c.Given, ";"), strings.Join(c.Variables, ";"))
	}
	f.Fuzz(func(t *testing.T, text, given, variables string) {
		fields := func(s string) []string {
			return strings.FieldsFunc(s, func(r rune) bool { return r == ';' })
		}
		var out, notes bytes.Buffer
		if Run(Options{Text: text, Given: fields(given), Variables: fields(variables), Siblings: 1, Stdout: &out, Stderr: &notes}) != nil {
			return
		}
		report := check.File("draft.yaml", out.Bytes())
		assert.NotNil(t, report.Rubric, out.String())
	})
}
