package platform

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// vectors reads one file of cases restated from open standards; each case names its source.
func vectors(t testing.TB, name string, into any) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", "vectors", name))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, into))
}
