package deploy

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The program as a process: SIGHUP reads again, SIGTERM finishes what is in hand and ends with status 0, nothing is
// written beside the files it was given, and the log holds nothing of the pupil.
func TestProcess(t *testing.T) {
	r := newRig(t)
	files := func() []string {
		var list []string
		require.NoError(t, filepath.WalkDir(r.folder, func(path string, _ os.DirEntry, err error) error {
			list = append(list, path)
			return err
		}))
		return list
	}
	before := files()
	p, command := r.run()
	require.Equal(t, 200, r.submit("p-60d3", map[string]any{"square-bed": "1, 2, 3"}))

	readings := func() bool { return strings.Contains(r.scrape(), "squaremark_rubric_readings_total 2\n") }
	require.False(t, readings())
	require.NoError(t, command.Process.Signal(syscall.SIGHUP))
	require.Eventually(t, readings, 10*time.Second, 5*time.Millisecond)
	assert.Contains(t, r.scrape(), `squaremark_reloads_total{outcome="taken"} 1`)

	r.stopWhileBusy("p-61e4", func() { require.NoError(t, command.Process.Signal(syscall.SIGTERM)) })
	log := p.end()
	assert.Contains(t, log, `"stopping"`)
	for _, private := range []string{"p-60d3", "p-61e4", r.item, "1, 2, 3"} {
		assert.NotContains(t, log, private)
	}
	assert.Equal(t, before, files())
}
