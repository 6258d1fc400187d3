package api

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// decodeStrict reads one JSON value so that every reader of the same bytes gets the same meaning: UTF-8, no member
// name twice, no half of a surrogate pair, nothing after the value, numbers as their text, nesting within bounds.
//
// Cost: linear in the length of the text. Errors: a malformed-json problem with line and column; the text itself is
// never repeated. Source: RFC 8259; OWASP ASVS 5.0, V15.3.5.
func decodeStrict(text []byte, depth int) (any, *Problem) {
	if !utf8.Valid(text) {
		return nil, malformedJSON("expected UTF-8", 1, 1)
	}
	d := strictDecoder{text: text, json: json.NewDecoder(bytes.NewReader(text)), depth: depth}
	d.json.UseNumber()
	value, err := d.value(0)
	if err == nil {
		if _, more := d.json.Token(); !errors.Is(more, io.EOF) {
			err = errors.New("expected nothing after the value")
		}
	}
	if err == nil && d.replaced != d.written() {
		err = errors.New("an escape stands for half of a character")
	}
	if err != nil {
		line, column := place(text, d.json.InputOffset())
		return nil, malformedJSON(wording(err), line, column)
	}
	return value, nil
}

type strictDecoder struct {
	text     []byte
	json     *json.Decoder
	depth    int
	replaced int // replacement characters among the decoded texts
}

func (d *strictDecoder) value(depth int) (any, error) {
	token, err := d.json.Token()
	if err != nil {
		return nil, err
	}
	switch t := token.(type) {
	case json.Delim:
		if depth >= d.depth {
			return nil, fmt.Errorf("expected at most %d levels of nesting", d.depth)
		}
		if t == '{' {
			return d.object(depth + 1)
		}
		return d.array(depth + 1)
	case string:
		return d.note(t), nil
	}
	return token, nil
}

func (d *strictDecoder) object(depth int) (any, error) {
	members := map[string]any{}
	for d.json.More() {
		token, err := d.json.Token()
		if err != nil {
			return nil, err
		}
		name, ok := token.(string)
		if !ok {
			return nil, errors.New("expected a member name")
		}
		d.note(name)
		if _, twice := members[name]; twice {
			return nil, errors.New("a member name occurs twice in one object")
		}
		if members[name], err = d.value(depth); err != nil {
			return nil, err
		}
	}
	_, err := d.json.Token()
	return members, err
}

func (d *strictDecoder) array(depth int) (any, error) {
	entries := []any{}
	for d.json.More() {
		entry, err := d.value(depth)
		if err != nil {
			return nil, err
		}
		entries = append(entries, entry)
	}
	_, err := d.json.Token()
	return entries, err
}

func (d *strictDecoder) note(text string) string {
	d.replaced += strings.Count(text, "\uFFFD")
	return text
}

// written counts replacement characters that the sender wrote, as such or escaped. The decoder puts further ones in
// the place of lone surrogates.
func (d *strictDecoder) written() int {
	count := bytes.Count(d.text, []byte("\uFFFD"))
	for i := 0; i+5 < len(d.text); i++ {
		if d.text[i] != '\\' {
			continue
		}
		if d.text[i+1] == 'u' && strings.EqualFold(string(d.text[i+2:i+6]), "fffd") {
			count++
		}
		i++ // the escaped character, which may be a back-slash
	}
	return count
}

// wording turns a fault of the decoder into a sentence that quotes nothing.
func wording(err error) string {
	var syntax *json.SyntaxError
	switch {
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return "the text ends too early"
	case errors.As(err, &syntax):
		return "expected JSON"
	}
	return err.Error()
}

// place is the line and column (in characters, from 1) of an offset.
func place(text []byte, offset int64) (line, column int) {
	before := text[:min(int(offset), len(text))]
	line = 1 + bytes.Count(before, []byte("\n"))
	return line, 1 + utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:])
}
