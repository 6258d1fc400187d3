package api

import (
	"bytes"
	"encoding/json"
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestStrictJSON(t *testing.T) {
	for text, why := range map[string]string{
		`{"a":1,"b":[true,null,"x"]}`:       "",
		` "x" `:                             "",
		`{"a":{"b":{"c":1}}}`:               "",
		`[[[[1]]]]`:                         "expected at most 3 levels of nesting",
		`{"a":1,"a":1}`:                     "a member name occurs twice in one object",
		`{"a":1,"\u0061":1}`:                "a member name occurs twice in one object",
		`{"a":{"b":1},"b":{"b":1}}`:         "",
		`[1] 2`:                             "expected nothing after the value",
		`[1]]`:                              "expected nothing after the value",
		``:                                  "the text ends too early",
		`{"a"`:                              "the text ends too early",
		`{a:1}`:                             "expected JSON",
		`[01]`:                              "expected JSON",
		"\"a\nb\"":                          "expected JSON",
		"\"\xff\"":                          "expected UTF-8",
		`"\ud800"`:                          "an escape stands for half of a character",
		`"\udc00\ud800"`:                    "an escape stands for half of a character",
		`"\ud83c\udf31"`:                    "",
		`"\ufffd"`:                          "",
		`"\uFFFD"`:                          "",
		"\"\uFFFD\"":                        "",
		`"\\ud800"`:                         "",
		`{"\ud800":1}`:                      "an escape stands for half of a character",
		`123456789012345678901234567890`:    "",
		`[1e999999999]`:                     "",
		`{"__proto__":1,"constructor":"x"}`: "",
	} {
		_, p := decodeStrict([]byte(text), 3)
		if why == "" {
			assert.Nil(t, p, text)
			continue
		}
		if assert.NotNil(t, p, text) {
			assert.Equal(t, why, p.Errors[0].Reason, text)
		}
	}
}

// What is accepted means the same to the standard decoder.
func FuzzStrictJSON(f *testing.F) {
	for _, seed := range []string{`{"a":[1,"x",null]}`, `{"a":1,"a":2}`, `"\ud800"`, `"\\ufffd"`, "[[[[", `1e5`} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		got, p := decodeStrict(text, 8)
		if p != nil {
			fault := p.Errors[0]
			assert.True(t, fault.Line >= 1 && fault.Column >= 1)
			return
		}
		decoder := json.NewDecoder(bytes.NewReader(text))
		decoder.UseNumber()
		var want any
		if err := decoder.Decode(&want); err != nil || !reflect.DeepEqual(want, got) {
			t.Fatalf("%q: %v, want %v %v", text, got, want, err)
		}
	})
}
