package rubric

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestWithoutRemarks(t *testing.T) {
	for _, row := range []struct{ written, read string }{
		{"x > 1", "x > 1"},
		{"Claim: x > 1\nQED", "x > 1"},
		{"x > 1, since x is large", "x > 1"},
		{"x > 1 for all x", "x > 1"},
		{"x^2 >= 0 (squares are never negative)", "x^2 >= 0"},
		{"Zu zeigen: x > 1\nw.z.b.w.", "x > 1"},
		{"2x > 2 | : 2\n<=> x > 1", "2x > 2\n<=> x > 1"},
		{"|x| + 1 > 0", "|x| + 1 > 0"},
		{"x > (1", "x > (1"},
		{"this is not mathematics", "this is not mathematics"},
		{"q.e.d.", "q.e.d."}, // nothing else is written
		{"x > 1 ∎", "x > 1"},
	} {
		var got []string
		for _, l := range WithoutRemarks(SplitText(row.written)) {
			got = append(got, strings.TrimSpace(l.Link+" "+l.Text.Value))
		}
		assert.Equal(t, row.read, strings.Join(got, "\n"), row.written)
	}
	line := WithoutRemarks(SplitText("Claim: x > 1 since"))[0].Text
	assert.Equal(t, 8, line.Start().Column, "places stay those of what was written")
}
