package marking

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// decode is the text of a file in UTF-8, with or without byte order mark, or
// in UTF-16 with one (RFC 3629, RFC 2781), as spreadsheets write it. Line ends
// of one CR alone become LF. Errors: other encodings, with the line.
func decode(data []byte) (string, error) {
	var order binary.ByteOrder
	switch {
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}):
		order = binary.LittleEndian
	case bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		order = binary.BigEndian
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	if order != nil {
		units := make([]uint16, (len(data)-2)/2)
		for i := range units {
			units[i] = order.Uint16(data[2+2*i:])
		}
		text = string(utf16.Decode(units))
	}
	line := 1
	for i, r := range text {
		if r == utf8.RuneError {
			if _, size := utf8.DecodeRuneInString(text[i:]); size == 1 {
				return "", &lineError{line, "this line is not UTF-8; save the file again as CSV with the character set UTF-8"}
			}
		}
		if r == 0 {
			return "", &lineError{line, "this line holds a zero byte; save the file again as CSV with the character set UTF-8"}
		}
		if r == '\n' {
			line++
		}
	}
	if !strings.Contains(text, "\n") {
		text = strings.ReplaceAll(text, "\r", "\n")
	}
	return text, nil
}

// lineError is a fault at a line of the file.
type lineError struct {
	line    int
	message string
}

// Error is the message; Read puts file and line in front.
func (e *lineError) Error() string { return e.message }

// separators are those that spreadsheets write, the commonest first.
var separators = []rune{',', ';', '\t'}

// separator finds the separator of a table: the one in its first line "sep=",
// or the one that makes the most known columns out of the header, and among
// those the most columns. rest is the table without a line "sep=".
func separator(text string, known func(string) bool) (sep rune, rest string) {
	if tail, ok := strings.CutPrefix(text, "sep="); ok {
		for _, s := range separators {
			if after, ok := strings.CutPrefix(tail, string(s)); ok {
				line, rest, _ := strings.Cut(after, "\n")
				if strings.TrimSpace(line) == "" {
					return s, rest
				}
			}
		}
	}
	best, bestKnown, bestCells := separators[0], -1, -1
	for _, s := range separators {
		r := newReader(text, s)
		r.LazyQuotes = true
		header, _ := r.Read()
		n := 0
		for _, cell := range header {
			if known(cell) {
				n++
			}
		}
		if n > bestKnown || n == bestKnown && len(header) > bestCells {
			best, bestKnown, bestCells = s, n, len(header)
		}
	}
	return best, text
}

// placed puts the file and the line in front of a fault.
func placed(name string, line int, format string, args ...any) error {
	return fmt.Errorf("%s:%d: %s", name, line, fmt.Sprintf(format, args...))
}
