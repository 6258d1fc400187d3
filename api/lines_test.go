package api

import (
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// However the stream is cut into pieces, the lines are the same, and lines beyond the limit are told.
func TestLinesDoNotDependOnThePieces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		texts := rapid.SliceOf(rapid.StringOfN(rapid.RuneFrom([]rune("ab{}\r")), 0, 12, -1)).Draw(t, "lines")
		stream := ""
		for _, text := range texts {
			stream += text + "\n"
		}
		whole, bits := newLines(strings.NewReader(stream), 8), newLines(iotest.OneByteReader(strings.NewReader(stream)), 8)
		for _, text := range texts {
			for _, l := range []*lines{whole, bits} {
				line, p := l.next()
				if len(text) > 8 {
					if p == nil || line != nil {
						t.Fatalf("%q is too long", text)
					}
				} else if p != nil || line == nil || string(line) != text {
					t.Fatalf("%q read as %q", text, line)
				}
			}
		}
		for _, l := range []*lines{whole, bits} {
			line, p := l.next()
			assert.Nil(t, line)
			assert.Nil(t, p)
		}
	})
}
