package syntax

import (
	"encoding/json"
	"os"
	"strings"
	"testing"
	"unicode/utf8"

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

// testdata/reads.txt: what is typed, how it prints, and the notes on it.
func TestReads(t *testing.T) {
	noted := map[string]bool{}
	for _, row := range table(t, "reads.txt") {
		text, want, notes := row[0], row[1], strings.Join(row[2:], "")
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
		noteSumBounds, noteTuples, noteCommaOr, noteAndList, noteUnionLetter, noteLeadingWord, noteRange} {
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
	assert.Equal(t, ";", mustRead(t, "x=1; x=2").Root.Text)
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

// The character facts of the notation vectors: each row is read as the row
// says, or refused where it asks for a decision.
func TestNotationVectors(t *testing.T) {
	data, err := os.ReadFile("testdata/notation-unicode.json")
	require.NoError(t, err)
	type row struct {
		Char, Code, Name, Suggested, Plain, Meaning, Input string
		LooksLike                                          string `json:"looks_like"`
		Text                                               json.RawMessage
		Left, Right                                        any
		LeftClosed                                         bool `json:"left_closed"`
		RightClosed                                        bool `json:"right_closed"`
	}
	var v struct {
		Minus        struct{ Rows []row } `json:"minus_like"`
		Superscripts struct{ Rows []row }
		Signs        struct{ Rows []row } `json:"relations_and_sets"`
		Changes      struct{ Rows []row } `json:"nfkc_changes_meaning"`
		Confusable   struct{ Rows []row }
		Invisible    struct{ Rows []row }
		Intervals    struct {
			Rows      []row
			Malformed []string
		}
	}
	require.NoError(t, json.Unmarshal(data, &v))
	plain := func(text string) string {
		r, d := read(text)
		if d != nil {
			return "refused: " + d.Code
		}
		return Plain(r.Root)
	}

	for _, r := range v.Minus.Rows {
		text, want := "x"+r.Char+"1", "x - 1"
		switch r.Suggested {
		case "ask":
			want = "refused: em-dash"
		case "superscript-minus":
			text, want = "x"+r.Char+"¹", "x^-1"
		case "subscript-minus":
			text, want = "x_{n"+"} + xₙ"+r.Char+"₁", "x_n + x_{n - 1}"
		}
		assert.Equal(t, want, plain(text), r.Name)
	}
	for _, r := range v.Superscripts.Rows {
		text, want := "x"+r.Char, "x^"+r.Plain
		switch r.Plain {
		case "+", "-":
			text, want = "x²"+r.Char+"¹", "x^(2 "+r.Plain+" 1)"
		case "(", ")":
			text, want = "x⁽²⁾", "x^2"
		case "=":
			text, want = "x²"+r.Char+"¹", "refused: bad-power"
		}
		assert.Equal(t, want, plain(text), r.Name)
	}
	for _, r := range v.Signs.Rows {
		text, want := "", ""
		switch r.Meaning {
		case "<=", ">=", "!=":
			text, want = "x "+r.Char+" 1", "x "+r.Meaning+" 1"
		case "approx":
			text, want = "x "+r.Char+" 1", "refused: unknown-character"
		case "in":
			text, want = "x "+r.Char+" {1}", "x in {1}"
		case "not-in":
			text, want = "x "+r.Char+" {1}", "x not in {1}"
		case "union", "intersection", "set-minus":
			text, want = "{1} "+r.Char+" {2}", "{1} "+r.Char+" {2}"
		case "empty-set":
			text, want = "x in "+r.Char, "x in {}"
		case "infinity":
			text, want = "[1, "+r.Char+")", "[1, ∞)"
		case "implies", "arrow":
			text, want = "x = 1 "+r.Char+" y = 1", "x = 1 => y = 1"
		case "iff", "arrow-both":
			text, want = "x = 1 "+r.Char+" y = 1", "x = 1 <=> y = 1"
		case "and", "or":
			text, want = "x = 1 "+r.Char+" y = 1", "x = 1 "+r.Meaning+" y = 1"
		case "not":
			text, want = r.Char+"(x = 1)", "not x = 1"
		case "times":
			text, want = "x"+r.Char+"y", "x*y"
		case "divide":
			text, want = "x"+r.Char+"y", "x/y"
		case "root":
			text, want = r.Char+"2", "sqrt(2)"
		case "plus-minus":
			text, want = "1 "+r.Char+" x", "1 ± x"
		case "reals", "integers", "naturals", "rationals":
			text, want = "x in "+r.Char, "x in "+r.Char
		}
		require.NotEmpty(t, text, "no test for the meaning %s", r.Meaning)
		assert.Equal(t, want, plain(text), r.Name)
	}
	changes := map[string]string{"x²": "x^2", "10⁻³": "10^-3", "2½": "2 + 1/2", "ℤ": "ℤ", "x₁": "x_1",
		"Ⅳ": "refused: unknown-character", "①": "refused: unknown-character", "ﬁ": "refused: unknown-character"}
	for _, r := range v.Changes.Rows {
		text := r.Input
		want, ok := changes[text]
		switch text {
		case "…":
			text, want, ok = "1, 2, …, 5", "1, 2, ..., 5", true
		case "＜":
			text, want, ok = "x ＜ 5", "x < 5", true
		}
		require.True(t, ok, text)
		assert.Equal(t, want, plain(text))
	}
	signs := map[string][2]string{"×": {"2×y", "2*y"}, "∨": {"x=1∨x=2", "x = 1 or x = 2"}, "∪": {"{1}∪{2}", "{1} ∪ {2}"},
		"∣": {"∣y∣", "|y|"}, "∞": {"(1, ∞)", "(1, ∞)"}, "−": {"2−y", "2 - y"}, "∕": {"2∕y", "2/y"}, "∖": {"{1}∖{2}", "{1} ∖ {2}"},
		"∗": {"2∗y", "2*y"}, "∶": {"2∶y", "2/y"}, "⊤": {"⊤", "refused: unknown-character"}}
	for _, r := range v.Confusable.Rows {
		c, _ := utf8.DecodeRuneInString(r.Char)
		if c >= 0x400 && c < 0x500 { // Cyrillic: the Latin letter, with a note
			got := mustRead(t, r.Char+"^3")
			assert.Equal(t, r.LooksLike+"^3", Plain(got.Root), r.Name)
			assert.Equal(t, noteLookalike, codes(got.Notes), r.Name)
			continue
		}
		row, ok := signs[r.Char]
		require.True(t, ok, r.Name)
		assert.Equal(t, row[1], plain(row[0]), r.Name)
	}
	for _, r := range v.Invisible.Rows {
		var c rune
		for _, h := range strings.TrimPrefix(r.Code, "U+") {
			c = c<<4 + rune(strings.IndexRune("0123456789ABCDEF", h))
		}
		text := "x" + string(c) + "+ 1"
		got, d := read(text)
		switch {
		case r.Suggested == "space":
			require.Nil(t, d, r.Name)
			assert.Empty(t, got.Notes, r.Name)
		case r.Suggested == "keep-as-math-operator":
			want := map[rune]string{0x2061: "2(x)|2x", 0x2062: "2x|2*x", 0x2063: "2x|2, x", 0x2064: "2x|2 + x"}[c]
			text, want, _ := strings.Cut(want, "|")
			assert.Equal(t, want, plain(text[:1]+string(c)+text[1:]), r.Name)
		case c >= 0x202a && c <= 0x202e, c >= 0x2066 && c <= 0x2069:
			require.NotNil(t, d, r.Name)
			assert.Equal(t, codeBidi, d.Code, r.Name)
		default:
			require.Nil(t, d, r.Name)
			assert.Equal(t, "x + 1", Plain(got.Root), r.Name)
			assert.Equal(t, noteInvisible, codes(got.Notes), r.Name)
		}
	}
	end := func(v any) string {
		switch v {
		case "-infinity":
			return "-∞"
		}
		return string(rune('0' + int(v.(float64))))
	}
	for _, r := range v.Intervals.Rows {
		var texts []string
		require.NoError(t, json.Unmarshal(r.Text, &texts))
		for _, text := range texts {
			n := mustRead(t, "x in "+text).Root.Kids[1]
			require.Equal(t, Interval, n.Kind, text)
			assert.Equal(t, []any{end(r.Left), end(r.Right), r.LeftClosed, r.RightClosed},
				[]any{Plain(n.Kids[0]), Plain(n.Kids[1]), !n.LeftOpen, !n.RightOpen}, text)
		}
	}
	for _, text := range v.Intervals.Malformed {
		_, d := read(text)
		assert.NotNil(t, d, text)
	}
	assert.Equal(t, "[5, 2]", plain("[5, 2]")) // whether that is empty is not for the reader to say
}
