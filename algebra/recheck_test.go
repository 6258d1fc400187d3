package algebra_test

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/algebra"
	"squaremark/algebra/budget"
)

// The evidence of every published fact, written down as JSON and read back,
// passes the kernel once more; with one number changed it does not.
func TestStoredEvidence(t *testing.T) {
	damaged := 0
	for i, f := range readFacts(t, "*-variable*.txt") {
		if testing.Short() && i%5 != 0 {
			continue
		}
		out := f.ask(t)
		if out.Evidence == nil || out.Evidence.Data == nil {
			continue
		}
		data, err := json.Marshal(out.Evidence.Data)
		require.NoError(t, err)
		n, err := algebra.Recheck(data, budget.Default())
		assert.NoError(t, err, "%s: %s\n%s", f.place, f.statement, data)
		assert.Equal(t, bytes.Count(data, []byte(`"conditions"`)), n)
		if changed := bytes.Replace(data, []byte(`"coefficient":"`), []byte(`"coefficient":"-`), 1); !bytes.Equal(changed, data) {
			_, err := algebra.Recheck(changed, budget.Default())
			assert.Error(t, err, "%s: %s", f.place, changed)
			damaged++
		}
	}
	assert.Greater(t, damaged, 10)
	for _, text := range []string{`{}`, `[{"conditions":["x"]}]`, `[{"variables":["x"],"conditions":["x<0"],"proof":{"kind":"guess"}}]`,
		`[{"variables":["x"],"conditions":["x<0"],"point":["1"]}]`, `[{"variables":["x"],"conditions":["1/x<0"],"point":["-1"]}]`} {
		_, err := algebra.Recheck([]byte(text), budget.Default())
		assert.Error(t, err, text)
	}
}
