package api

import (
	"encoding/json"
	"net/http"
	"strings"
)

// writeJSON sends a JSON document. HTML escaping is off: answers are full of <, > and &.
func writeJSON(w http.ResponseWriter, status int, mediaType string, value any) error {
	text, err := encodeJSON(value)
	if err != nil {
		return err
	}
	return writeBytes(w, status, mediaType, text)
}

func writeBytes(w http.ResponseWriter, status int, mediaType string, text []byte) error {
	w.Header().Set("Content-Type", mediaType)
	w.WriteHeader(status)
	_, err := w.Write(text)
	return err
}

func encodeJSON(value any) ([]byte, error) {
	var text strings.Builder
	encoder := json.NewEncoder(&text)
	encoder.SetEscapeHTML(false)
	err := encoder.Encode(value)
	return []byte(text.String()), err
}
