// Package source gives places in a text and the one diagnostic type of the
// project.
//
// Lines and columns start at 1 and columns count runes, everywhere: in a
// pupil's answer, in a rubric file and in the body of a request. A tab is one
// rune. CR LF, LF and CR alone each end a line.
//
//	source.go   positions, spans
//	diag.go     diagnostics and their printing
package source

import (
	"strconv"
	"unicode/utf8"
)

// Position is a place between two runes of a text. The zero Position means
// "no place known".
type Position struct {
	Line   int `json:"line"`   // 1-based
	Column int `json:"column"` // 1-based, in runes
	Offset int `json:"-"`      // 0-based, in bytes
}

// IsZero reports that no place is known.
func (p Position) IsZero() bool { return p.Line == 0 }

// String prints line:column.
func (p Position) String() string {
	return strconv.Itoa(p.Line) + ":" + strconv.Itoa(p.Column)
}

// Span is the stretch of text from Start (included) to End (excluded).
type Span struct {
	Start Position
	End   Position
}

// To is the span from the start of s to the end of t.
func (s Span) To(t Span) Span { return Span{s.Start, t.End} }

// In is the text that s covers. A span that does not fit the text gives "".
func (s Span) In(text string) string {
	if s.Start.Offset < 0 || s.End.Offset > len(text) || s.Start.Offset > s.End.Offset {
		return ""
	}
	return text[s.Start.Offset:s.End.Offset]
}

// PositionAt is the position of a byte offset in text. An offset outside the
// text gives the nearest end. Cost: linear in the offset.
func PositionAt(text string, offset int) Position {
	offset = min(max(offset, 0), len(text))
	p := Position{Line: 1, Column: 1, Offset: offset}
	for i := 0; i < offset; {
		r, size := utf8.DecodeRuneInString(text[i:])
		i += size
		switch {
		case r == '\n', r == '\r' && !(i < len(text) && text[i] == '\n'):
			p.Line++
			p.Column = 1
		default:
			p.Column++
		}
	}
	return p
}
