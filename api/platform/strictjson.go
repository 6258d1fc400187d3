package platform

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"unicode/utf8"
)

// errJSON is the only thing said about JSON from outside that breaks a rule; it quotes nothing.
var errJSON = errors.New("expected one JSON object in UTF-8, without repeated member names and not too deep")

// maxJSONDepth bounds nesting in everything read from outside.
const maxJSONDepth = 16

// strictObject reads one JSON object: UTF-8 only, no member name twice at any depth, nesting bounded, nothing after
// it. Member names are compared exactly, after unescaping.
//
// Domain: the caller bounds the size. Cost: two passes. Source: RFC 7515, section 4; RFC 8725, section 3.7.
func strictObject(text []byte) (map[string]json.RawMessage, error) {
	if !utf8.Valid(text) {
		return nil, errJSON
	}
	decoder := json.NewDecoder(bytes.NewReader(text))
	decoder.UseNumber()
	if first, err := decoder.Token(); err != nil || first != json.Delim('{') {
		return nil, errJSON
	}
	if err := walkObject(decoder, 1); err != nil {
		return nil, errJSON
	}
	if _, err := decoder.Token(); !errors.Is(err, io.EOF) {
		return nil, errJSON
	}
	var members map[string]json.RawMessage
	if err := json.Unmarshal(text, &members); err != nil {
		return nil, errJSON
	}
	return members, nil
}

// strictValue tells whether the text is one JSON value under the same rules.
func strictValue(text []byte) bool {
	if !json.Valid(text) {
		return false
	}
	_, err := strictObject([]byte(`{"value":` + string(text) + `}`))
	return err == nil
}

// walkObject goes through an object whose opening brace has been read, up to and with its closing brace.
func walkObject(decoder *json.Decoder, depth int) error {
	if depth > maxJSONDepth {
		return errJSON
	}
	seen := map[string]bool{}
	for {
		token, err := decoder.Token()
		if err != nil {
			return err
		}
		if token == json.Delim('}') {
			return nil
		}
		name, ok := token.(string)
		if !ok || seen[name] {
			return errJSON
		}
		seen[name] = true
		value, err := decoder.Token()
		if err != nil {
			return err
		}
		if err := walkValue(decoder, value, depth); err != nil {
			return err
		}
	}
}

func walkArray(decoder *json.Decoder, depth int) error {
	if depth > maxJSONDepth {
		return errJSON
	}
	for {
		token, err := decoder.Token()
		if err != nil {
			return err
		}
		if token == json.Delim(']') {
			return nil
		}
		if err := walkValue(decoder, token, depth); err != nil {
			return err
		}
	}
}

func walkValue(decoder *json.Decoder, token json.Token, depth int) error {
	switch token {
	case json.Delim('{'):
		return walkObject(decoder, depth+1)
	case json.Delim('['):
		return walkArray(decoder, depth+1)
	}
	return nil
}

// textMember reads a member that must be a JSON string; null is not one.
func textMember(raw json.RawMessage) (string, bool) {
	var text string
	if len(raw) == 0 || raw[0] != '"' || json.Unmarshal(raw, &text) != nil {
		return "", false
	}
	return text, true
}
