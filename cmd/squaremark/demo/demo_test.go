package demo

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.uber.org/zap"
)

// The whole loop: every score arrives, right pupils get full marks whatever
// the spelling, wrong ones do not, unreadable work goes to a person.
func TestDemo(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, Run(context.Background(), &out, zap.NewNop()))
	row := map[string]string{}
	for _, line := range strings.Split(out.String(), "\n") {
		if strings.HasPrefix(line, "p-") {
			row[line[:6]] = line
		}
	}
	assert.GreaterOrEqual(t, len(row), 12)
	for _, right := range []string{"p-07c2", "p-11e9", "p-1b60"} {
		assert.Contains(t, row[right], "100.00", "%s is right in every answer", right)
		assert.Contains(t, row[right], "FullyGraded")
	}
	for id, line := range row {
		assert.Contains(t, line, "delivered", id)
		if id != "p-07c2" && id != "p-11e9" && id != "p-1b60" {
			assert.NotContains(t, line, "100.00", id)
		}
	}
	for _, unreadable := range []string{"p-6e72", "p-7a94"} {
		assert.Contains(t, row[unreadable], "PendingManual")
	}
	assert.Contains(t, row["p-c4d0"], " 0.00", "giving the question back earns nothing")
	assert.Contains(t, out.String(), "constant-not-compensated")
	assert.Contains(t, out.String(), "provisional")
}
