package syntax

import (
	"os"
	"strings"
	"testing"

	"squaremark/algebra/budget"
	"squaremark/algebra/source"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func read(text string) (*Reading, *source.Diag) { return Read(text, budget.New(budget.Default())) }

func mustRead(t testing.TB, text string) *Reading {
	t.Helper()
	r, d := read(text)
	require.Nil(t, d, "%s: %v", text, d)
	return r
}

// table reads rows of tab-separated columns; lines with # are headings.
func table(t testing.TB, name string) [][]string {
	t.Helper()
	data, err := os.ReadFile("testdata/" + name)
	require.NoError(t, err)
	var rows [][]string
	for _, line := range strings.Split(strings.TrimSuffix(string(data), "\n"), "\n") {
		if !strings.HasPrefix(line, "# ") {
			rows = append(rows, strings.Split(line, "\t"))
		}
	}
	return rows
}

func codes(list []*source.Diag) string {
	var out []string
	for _, d := range list {
		out = append(out, d.Code)
	}
	return strings.Join(out, " ")
}

// testdata/reads.txt: what is typed, how it prints, and the notes on it. ⏎
// stands for a line break.
func TestReads(t *testing.T) {
	noted := map[string]bool{}
	for _, row := range table(t, "reads.txt") {
		text, want, notes := strings.ReplaceAll(row[0], "⏎", "\n"), row[1], strings.Join(row[2:], "")
		r, d := read(text)
		if !assert.Nil(t, d, "%s: %v", text, d) {
			continue
		}
		assert.Equal(t, want, Plain(r.Root), text)
		assert.Equal(t, notes, codes(r.Notes), text)
		for _, n := range r.Notes {
			noted[n.Code] = true
			assert.NotEmpty(t, n.Message, text)
			assert.Equal(t, source.Note, n.Severity)
			assert.NotZero(t, n.At.Start.Line)
		}
	}
	for _, code := range []string{noteDecimalComma, noteListComma, noteArrow, noteLookalike, noteInvisible, noteGreekWord,
		noteLetterNumber, noteDivision, noteBareRoot, noteMixedNumber, noteIndexLetter, notePlusMinus, notePlusNegative,
		noteSumBounds, noteTuples, noteCommaOr, noteAndList, noteUnionLetter, noteLeadingWord, noteRange, noteAlternatives} {
		assert.True(t, noted[code], "no row shows the note %s", code)
	}
}

// testdata/refused.txt: what is typed, where it cannot be read, the code and
// the message.
func TestRefused(t *testing.T) {
	refused := map[string]bool{}
	for _, row := range table(t, "refused.txt") {
		require.Len(t, row, 4, row[0])
		_, d := read(row[0])
		if !assert.NotNil(t, d, row[0]) {
			continue
		}
		refused[d.Code] = true
		assert.Equal(t, row[1:], []string{d.At.Start.String(), d.Code, d.Message}, row[0])
	}
	for _, code := range []string{codeDigits, codeChar, codeEmDash, codeBidi, codeMarkup, codeCommand, codeTwoPoints,
		codeWord, codeExpected, codeUnexpected, codeUnclosed, codeNumbers, codeOperand, codeFormula, codeMixed,
		codeInterval, codeInfinity, codeIndex, codePower, codeSum, codeDots, codeSet, codeChain, codeRoot, codeEmpty} {
		assert.True(t, refused[code], "no row is refused with %s", code)
	}
	_, d := read("")
	assert.Equal(t, codeEmpty, d.Code)
}

// Different spellings of one thing give one tree.
func TestSpellings(t *testing.T) {
	for _, same := range [][]string{
		{"x^2", "x**2", "x²", "x^{2}", "$x^2$", `\(x^{2}\)`, "х²", "(x)^2"},
		{"1/2", "½", `\frac{1}{2}`, `\frac12`, `\tfrac 1 2`, "1÷2", "1:2"},
		{"x >= 1/2", "x ≥ ½", `x \geq \frac12`, "x⩾1/2", "x  >=  1 / 2"},
		{"x <= -6 or x >= 2", "x ≤ −6 ∨ x ≥ 2", `x \le -6 \text{ or } x \ge 2`, `x\leqslant-6\lor x\geqslant2`},
		{"sqrt(2)", "√2", `\sqrt{2}`, `\sqrt 2`, "√(2)"},
		{"x in {1, 2}", `x \in \{1,2\}`, "x ∈ {1; 2}"},
		{"sum(i=1..n, a_i^2)", `\sum_{i=1}^{n} a_i^2`, "∑_{i=1}^n aᵢ²", `\sum_{i=1}^n{a_i}^2`},
		{"a_1 + a_2 + ... + a_n", `a_1 + a_2 + \cdots + a_n`, "a₁ + a₂ + … + aₙ"},
		{"(-∞, 3]", "]-∞, 3]", "(-oo; 3]", `\left(-\infty, 3\right]`},
		{"x = ±2", "x = +-2", `x = \pm 2`, "x = +/-2"},
		{"no solutions", "none", "∅", `\varnothing`, "There are no solutions."},
		{"x = 1; x = 2", "x = 1\nx = 2", "x = 1\r\nx = 2", `x = 1 \\ x = 2`, "x = 1;\nx = 2;"},
		{"(a + b)^2", "(a +\n b)^2"},
	} {
		first := mustRead(t, same[0])
		for _, other := range same[1:] {
			assert.True(t, Equal(first.Root, mustRead(t, other).Root), "%q and %q differ: %s", same[0], other, Plain(mustRead(t, other).Root))
		}
	}
}

// The shape of a tree where its printed form does not show it.
func TestShapes(t *testing.T) {
	r := mustRead(t, "x = 0, 1 or 2").Root
	require.Equal(t, Relation, r.Kind)
	assert.Equal(t, List, r.Kids[1].Kind)
	assert.Equal(t, "or", r.Kids[1].Text)
	assert.Len(t, r.Kids[1].Kids, 3)

	r = mustRead(t, "a_1 - a_2 + ... + a_n + 1").Root
	require.Equal(t, Ellipsis, r.Kind)
	assert.Equal(t, 2, r.Split)
	assert.Equal(t, Neg, r.Kids[1].Kind)
	assert.Len(t, r.Kids, 4)

	assert.Equal(t, None, mustRead(t, "∅").Root.Kind)
	assert.Equal(t, Set, mustRead(t, "{}").Root.Kind)
	assert.Equal(t, Tuple, mustRead(t, "(2, 5)").Root.Kind)
	assert.Equal(t, Interval, mustRead(t, "x in (2, 5)").Root.Kids[1].Kind)
	assert.True(t, mustRead(t, "2x").Root.Implicit)
	assert.False(t, mustRead(t, "2*x").Root.Implicit)
	assert.True(t, mustRead(t, "(x+1)^2").Root.Kids[0].Grouped)
	assert.Equal(t, ";", mustRead(t, "x=1; y=2").Root.Text)
	assert.Equal(t, "", mustRead(t, "x>1 and x<2").Root.Text)
}

// Every place says which text it covers.
func TestPlaces(t *testing.T) {
	r := mustRead(t, "½x²\n≥ 2(y + 1)")
	assert.Equal(t, "½x²\n≥ 2(y + 1)", r.Root.At.In(r.Text))
	product := r.Root.Kids[1]
	assert.Equal(t, "2(y + 1)", product.At.In(r.Text))
	assert.Equal(t, "2:3", product.At.Start.String())
	assert.Equal(t, "2:11", product.At.End.String())
	assert.Equal(t, "(y + 1)", product.Kids[1].At.In(r.Text))
	assert.Equal(t, "x²", r.Root.Kids[0].Kids[1].At.In(r.Text))
}
