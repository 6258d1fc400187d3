package rubric

import (
	"sort"
	"strconv"

	"squaremark/algebra/source"
)

// file is the text of a file as runes, with the start of each line.
type file struct {
	runes []rune
	lines []int // index of the first rune of each line
}

func newFile(text string) *file {
	f := &file{runes: []rune(text), lines: []int{0}}
	for i, r := range f.runes {
		if r == '\n' {
			f.lines = append(f.lines, i+1)
		}
	}
	return f
}

// index is the number of the rune at line:column, or -1.
func (f *file) index(line, column int) int {
	if line < 1 || line > len(f.lines) || column < 1 {
		return -1
	}
	i := f.lines[line-1] + column - 1
	if i > len(f.runes) {
		return -1
	}
	return i
}

// walker follows a scalar through the file and notes the place of each rune
// of its value.
type walker struct {
	*file
	i, line int // next rune, its line (0-based)
	value   []rune
	places  []source.Position
}

func (f *file) walk(i int) *walker {
	after := sort.SearchInts(f.lines, i+1)
	return &walker{file: f, i: i, line: after - 1}
}

func (w *walker) here() source.Position {
	return source.Position{Line: w.line + 1, Column: w.i - w.lines[w.line] + 1}
}

// at is the next rune, 0 at the end of the file.
func (w *walker) at(ahead int) rune {
	if w.i+ahead >= len(w.runes) {
		return 0
	}
	return w.runes[w.i+ahead]
}

func (w *walker) next() {
	if w.i < len(w.runes) {
		if w.runes[w.i] == '\n' {
			w.line++
		}
		w.i++
	}
}

func (w *walker) emit(r rune, at source.Position) {
	w.value = append(w.value, r)
	w.places = append(w.places, at)
}

// text closes the walk: the value with its places where the walk found
// exactly this value, and with its start only where it did not.
func (w *walker) text(value string, start source.Position) Text {
	if string(w.value) == value {
		return Text{Value: value, places: append(w.places, w.here())}
	}
	return Text{Value: value, places: []source.Position{start}}
}

// flowScalar places a plain (p), single-quoted or double-quoted
// scalar that begins at rune i (at its quotation mark, if it has one).
func (f *file) flowScalar(style rune, i int, value string) Text {
	w := f.walk(i)
	start := w.here()
	length := len([]rune(value))
	if style != 'p' {
		w.next()
	}
	kept := 0 // runes that folding must not take away again
	for w.i < len(w.runes) {
		r := w.at(0)
		switch {
		case style == 'p' && len(w.value) >= length:
			return w.text(value, start)
		case style == '\'' && r == '\'' && w.at(1) == '\'':
			at := w.here()
			w.next()
			w.next()
			w.emit('\'', at)
		case style != 'p' && r == style:
			return w.text(value, start)
		case style == '"' && r == '\\':
			w.escape()
			kept = len(w.value)
		case r == '\n':
			for len(w.value) > kept && isBlank(w.value[len(w.value)-1]) {
				w.value, w.places = w.value[:len(w.value)-1], w.places[:len(w.places)-1]
			}
			w.fold()
			kept = len(w.value)
		default:
			w.emit(r, w.here())
			w.next()
		}
	}
	return w.text(value, start)
}

func isBlank(r rune) bool { return r == ' ' || r == '\t' }

// fold reads a line end, blank lines and the indentation of the next line:
// one space, or one line end for each blank line.
func (w *walker) fold() {
	at := w.here()
	count := 0
	for w.at(0) == '\n' || isBlank(w.at(0)) {
		if w.at(0) == '\n' {
			count++
		}
		w.next()
	}
	if count == 1 {
		w.emit(' ', at)
		return
	}
	for ; count > 1; count-- {
		w.emit('\n', at)
	}
}

// escape reads an escape sequence of a double-quoted scalar (YAML 1.2.2,
// section 5.7).
func (w *walker) escape() {
	at := w.here()
	w.next()
	r := w.at(0)
	if r == '\n' {
		blank := -1
		for w.at(0) == '\n' || isBlank(w.at(0)) {
			if w.at(0) == '\n' {
				blank++
			}
			w.next()
		}
		for ; blank > 0; blank-- {
			w.emit('\n', at)
		}
		return
	}
	w.next()
	digits := map[rune]int{'x': 2, 'u': 4, 'U': 8}[r]
	if digits > 0 {
		hex := ""
		for ; digits > 0 && w.at(0) != 0; digits-- {
			hex += string(w.at(0))
			w.next()
		}
		code, err := strconv.ParseUint(hex, 16, 32)
		if err != nil {
			code = 0xFFFD
		}
		w.emit(rune(code), at)
		return
	}
	if plain, ok := escapes[r]; ok {
		r = plain
	}
	w.emit(r, at)
}

var escapes = map[rune]rune{
	'0': 0, 'a': 7, 'b': 8, 't': '\t', 'n': '\n', 'v': 11, 'f': 12, 'r': '\r', 'e': 27,
	'N': 0x85, '_': 0xA0, 'L': 0x2028, 'P': 0x2029,
}

// blockScalar places a literal or folded scalar whose header ("|" or ">")
// begins at rune i. Its indentation is found by comparing its first line that
// is not blank with the value.
func (f *file) blockScalar(i int, value string) Text {
	w := f.walk(i)
	start := w.here()
	w.skipLine()
	want := []rune(value)
	indent := -1
	for n := 0; n < len(want) && w.i < len(w.runes); {
		if w.blankLine() {
			if want[n] == '\n' { // a blank line before the first one with text
				w.emit('\n', w.here())
				n++
			}
			w.skipLine()
			continue
		}
		if indent < 0 {
			indent = w.leading() - leadingBlanks(want[n:])
			if indent < 0 {
				break
			}
		}
		for k := 0; k < indent && isBlank(w.at(0)); k++ {
			w.next()
		}
		for n < len(want) && w.at(0) != 0 && w.at(0) != '\n' && want[n] == w.at(0) {
			w.emit(want[n], w.here())
			w.next()
			n++
		}
		end := w.here()
		if w.at(0) != '\n' && w.at(0) != 0 {
			break
		}
		if n < len(want) && want[n] == ' ' {
			w.emit(' ', end)
			n++
		}
		for n < len(want) && want[n] == '\n' {
			w.emit('\n', end)
			n++
		}
		w.next()
	}
	return w.text(value, start)
}

func (w *walker) skipLine() {
	for w.at(0) != '\n' && w.at(0) != 0 {
		w.next()
	}
	w.next()
}

func (w *walker) blankLine() bool {
	k := w.leading()
	return w.at(k) == '\n' || w.at(k) == 0
}

// leading is the number of blanks in front of the line.
func (w *walker) leading() int {
	k := 0
	for w.at(k) == ' ' {
		k++
	}
	return k
}

func leadingBlanks(runes []rune) int {
	k := 0
	for k < len(runes) && runes[k] == ' ' {
		k++
	}
	return k
}

// whole is all the text of a file as a Text.
func (f *file) whole(text string) Text {
	w := f.walk(0)
	for w.i < len(w.runes) {
		w.emit(w.at(0), w.here())
		w.next()
	}
	return Text{Value: text, places: append(w.places, w.here())}
}
