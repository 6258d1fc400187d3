package api_test

import (
	"bytes"
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/stretchr/testify/require"

	"squaremark/api"
)

// BenchmarkBatch marks a class of thirty as one batch, real marking and tokens, nothing delivered.
func BenchmarkBatch(b *testing.B) {
	c := newCircle(&testing.T{}, elsewhere(&careful{}), func(c *api.Config) { c.Limits.PerSecond, c.Limits.Burst = 1e9, 1e9 })
	defer c.stop()
	line := c.line(map[string]any{"target": map[string]any{"lineItem": "https://circle.example/courses/12/items/7"}}) + "\n"
	body, header := bytes.Repeat([]byte(line), 30), c.batch().header
	b.SetBytes(int64(len(body)))
	for b.Loop() {
		request := httptest.NewRequest(http.MethodPost, "/v1/submissions/batch", bytes.NewReader(body))
		request.Header = header
		recorder := httptest.NewRecorder()
		c.server.ServeHTTP(recorder, request)
		require.Equal(b, 30, bytes.Count(recorder.Body.Bytes(), []byte(`"status":200`)))
	}
}
