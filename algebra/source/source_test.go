package source

import (
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestPositionAt(t *testing.T) {
	text := "ab\r\n½c\rd\n"
	for _, row := range []struct {
		offset int
		want   string
	}{{-3, "1:1"}, {0, "1:1"}, {2, "1:3"}, {4, "2:1"}, {6, "2:2"}, {8, "3:1"}, {9, "3:2"}, {10, "4:1"}, {99, "4:1"}} {
		assert.Equal(t, row.want, PositionAt(text, row.offset).String(), "offset %d", row.offset)
	}
}

// Moving on by one rune moves one column on or starts the next line.
func TestPositionsGrow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.RuneFrom([]rune("ab½\n\r\t∞"))).Draw(t, "text")
		for i := 0; i < len(text); {
			_, size := utf8.DecodeRuneInString(text[i:])
			a, b := PositionAt(text, i), PositionAt(text, i+size)
			if b.Line == a.Line {
				assert.LessOrEqual(t, b.Column-a.Column, 1)
			} else {
				assert.Equal(t, Position{a.Line + 1, 1, i + size}, b)
			}
			i += size
		}
	})
}

func TestSpan(t *testing.T) {
	text := "x + ½y"
	s := Span{PositionAt(text, 0), PositionAt(text, 1)}.To(Span{PositionAt(text, 4), PositionAt(text, 6)})
	assert.Equal(t, "x + ½", s.In(text))
	assert.Equal(t, "", s.In("x"))
	assert.True(t, Position{}.IsZero())
}

func TestPrint(t *testing.T) {
	texts := map[string]string{"plots.toml": "beds = 3\n\tpath = ½ +\n", "": "x +"}
	at := func(line, from, to int) Span {
		return Span{Position{Line: line, Column: from}, Position{Line: line, Column: to}}
	}
	list := []*Diag{
		{Severity: Note, File: "plots.toml", At: at(2, 2, 6), Message: "a path"},
		{Severity: Error, File: "plots.toml", At: at(2, 10, 11), Message: "found a sign", Hint: "write a number"},
		{Severity: Warning, At: at(1, 4, 4), Message: "found nothing"},
		{Severity: Error, Message: "no place known"},
	}
	assert.Equal(t, `error: no place known
1:4: warning: found nothing
  | x +
  |    ^
plots.toml:2:2: note: a path
  | 	path = ½ +
  | 	^^^^
plots.toml:2:10: error: found a sign
  | 	path = ½ +
  | 	        ^
  hint: write a number
`, Print(list, func(file string) string { return texts[file] }))
	assert.Equal(t, "plots.toml:2:10: found a sign", list[1].Error())
	assert.Equal(t, "no place known", list[3].Error())

	many := make([]*Diag, 23)
	for i := range many {
		many[i] = &Diag{At: at(i+1, 1, 2), Message: strconv.Itoa(i)}
	}
	out := Print(many, nil)
	assert.Equal(t, 21, strings.Count(out, "\n"))
	assert.True(t, strings.HasSuffix(out, "and 3 more\n"))
}

func TestShorten(t *testing.T) {
	assert.Equal(t, "½x²", Shorten("½x²", 3))
	assert.Equal(t, "½x…", Shorten("½x²", 2))
	assert.Equal(t, "a b", Shorten("a\nb", 9))
}
