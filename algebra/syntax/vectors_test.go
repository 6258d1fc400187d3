package syntax

import (
	"encoding/json"
	"os"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The character facts of the notation vectors: each row is read as the row
// says, or refused where it asks for a decision.
func TestNotationVectors(t *testing.T) {
	data, err := os.ReadFile("testdata/notation-unicode.json")
	require.NoError(t, err)
	type row struct {
		Char, Code, Name, Suggested, Plain, Meaning, Input string
		LooksLike                                          string `json:"looks_like"`
		Text, Left, Right                                  json.RawMessage
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
	end := func(v json.RawMessage) string {
		if string(v) == `"-infinity"` {
			return "-∞"
		}
		return string(v)
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
