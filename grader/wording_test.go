package grader

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"squaremark/grader/rubric"
	"squaremark/grader/slip"
	"squaremark/grader/wording"
)

// Every slip and every finding can be told in every language.
func TestEveryLanguageKnowsTheCatalogues(t *testing.T) {
	for _, l := range wording.Known()[1:] {
		for _, s := range slip.Catalogue() {
			words := l.SlipWords(s.ID, wording.Slip{})
			assert.NotEmpty(t, words.Title, "%s: %s", l.Tag, s.ID)
			assert.NotEmpty(t, words.Text, "%s: %s", l.Tag, s.ID)
		}
		for _, f := range rubric.Findings {
			assert.NotEmpty(t, l.Finding(f.Code, ""), "%s: %s", l.Tag, f.Code)
		}
	}
	for _, k := range rubric.Kinds {
		for _, l := range wording.Known() {
			assert.NotEqual(t, "method-"+string(k), l.Say("method-"+string(k)), l.Tag)
		}
	}
}
