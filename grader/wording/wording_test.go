package wording

import (
	"os"
	"regexp"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var slot = regexp.MustCompile(`\{[A-Za-z.]+\}`)

// stems are the slots of a sentence without the case that a language needs.
func stems(text string) []string {
	seen := map[string]bool{}
	for _, s := range slot.FindAllString(text, -1) {
		stem, _, _ := strings.Cut(strings.ToLower(strings.Trim(s, "{}")), ".")
		seen[stem] = true
	}
	list := []string{}
	for s := range seen {
		list = append(list, s)
	}
	sort.Strings(list)
	return list
}

// Every id exists in every language, with the same slots.
func TestLanguagesAgree(t *testing.T) {
	require.GreaterOrEqual(t, len(Known()), 2)
	for _, l := range Known() {
		for id, text := range english.sentences {
			other, ok := l.sentences[id]
			require.True(t, ok, "%s has no %q", l.Tag, id)
			assert.Equal(t, stems(text), stems(other), "%s: %s", l.Tag, id)
		}
		for id := range l.sentences {
			assert.Contains(t, english.sentences, id, l.Tag)
		}
		assert.Equal(t, l, For(strings.ToUpper(l.Tag)+"-XX"))
	}
	assert.Equal(t, "en", For("tlh").Tag)
	assert.False(t, IsKnown("nl"))
}

// Every id that is said somewhere is in the catalogue, and every id of the
// catalogue is said.
func TestEverySentenceIsSaid(t *testing.T) {
	var code string
	for _, name := range []string{"../sentences.go", "../values.go"} {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		code += string(data)
	}
	for id := range english.sentences {
		base, _, _ := strings.Cut(id, ".")
		base = strings.TrimSuffix(base, "-why")
		if strings.HasPrefix(base, "method-") {
			base = "method-"
		}
		assert.True(t, strings.Contains(code, `"`+base), "%s is never said", id)
	}
	for _, m := range regexp.MustCompile(`\b(?:Say|because|with)\("([a-z-]+[a-z.])"`).FindAllStringSubmatch(code, -1) {
		assert.Contains(t, english.sentences, m[1])
	}
}

func TestEngineSentences(t *testing.T) {
	assert.Equal(t, "x*(x-2) ist kein Vielfaches eines Quadrats", german.Engine("x*(x-2) is not a multiple of a square"))
	assert.Equal(t, "die letzte Zeile ist nicht die Behauptung", german.Engine("the last line is not the claim."))
	assert.Equal(t, "", german.Engine("something new"))
	assert.Equal(t, "something new", english.Engine("something new."))
	assert.Equal(t, "this is so", english.Fault("no-code", "this is so."))
	assert.Equal(t, "eine Klammer ist nicht geschlossen", german.Fault("unclosed-bracket", "whatever"))
}
