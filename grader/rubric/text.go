package rubric

import (
	"strings"

	"squaremark/algebra/source"
)

// Text is a text of the file. places[i] is the place of rune i of Value in
// the file; the last entry is the place after the text. A Text whose runes
// could not be placed has one entry only, its start.
type Text struct {
	Value  string
	places []source.Position
}

// IsZero reports that the file does not give this text.
func (t Text) IsZero() bool { return t.places == nil }

// Start is the place of the first rune in the file.
func (t Text) Start() source.Position {
	if len(t.places) == 0 {
		return source.Position{}
	}
	return t.places[0]
}

// At is the stretch of the whole text in the file.
func (t Text) At() source.Span {
	if len(t.places) == 0 {
		return source.Span{}
	}
	return source.Span{Start: t.places[0], End: t.places[len(t.places)-1]}
}

// Place takes a place inside Value (line and column as a reader of Value
// counts them) to the place in the file.
func (t Text) Place(p source.Position) source.Position {
	if len(t.places) == 0 || p.IsZero() {
		return t.Start()
	}
	return t.places[min(t.index(p), len(t.places)-1)]
}

// Span takes a stretch of Value to the stretch of the file.
func (t Text) Span(s source.Span) source.Span {
	return source.Span{Start: t.Place(s.Start), End: t.Place(s.End)}
}

// index is the number of the rune of Value at p, or of the nearest one.
func (t Text) index(p source.Position) int {
	line, column, i := 1, 1, 0
	for _, r := range t.Value {
		if line > p.Line || line == p.Line && column >= p.Column {
			return i
		}
		if r == '\n' {
			if line == p.Line {
				return i
			}
			line, column = line+1, 1
		} else {
			column++
		}
		i++
	}
	return i
}

// cut is the part of t from rune i up to rune j.
func (t Text) cut(i, j int) Text {
	part := Text{Value: string([]rune(t.Value)[i:j])}
	if len(t.places) > j {
		part.places = t.places[i : j+1]
	} else {
		part.places = t.places
	}
	return part
}

// trim is t without white space at both ends.
func (t Text) trim() Text {
	runes := []rune(t.Value)
	i, j := 0, len(runes)
	for i < j && strings.ContainsRune(" \t\r\n", runes[i]) {
		i++
	}
	for j > i && strings.ContainsRune(" \t\r\n", runes[j-1]) {
		j--
	}
	return t.cut(i, j)
}
