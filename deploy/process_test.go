package deploy

import (
	"os"
	"os/exec"
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

// What an operator asks before a start: every setting with its origin, and whether it would start.
func TestExplainConfig(t *testing.T) {
	r := newRig(t)
	path, err := program()
	require.NoError(t, err)
	explain := func(environment ...string) (string, error) {
		command := exec.Command(path, "serve", "--set", "limits.burst=7", "--explain-config")
		command.Env = append(environment, "SQUAREMARK_CONFIG="+filepath.Join(r.folder, "settings.yaml"))
		out, err := command.CombinedOutput()
		return strings.Join(strings.Fields(string(out)), " "), err
	}
	out, err := explain("SQUAREMARK_LIMITS_BURST=8", "SQUAREMARK_LIMITS_CALLERS=9")
	require.NoError(t, err, out)
	assert.Contains(t, out, "limits.burst 7 flag --set limits.burst")
	assert.Contains(t, out, "limits.callers 9 environment SQUAREMARK_LIMITS_CALLERS")
	assert.Contains(t, out, "metrics "+r.private+" settings.yaml:2")
	assert.Contains(t, out, "limits.drain 1m10s default")
	assert.NotContains(t, out, "PRIVATE KEY")

	require.NoError(t, os.Remove(filepath.Join(r.folder, "service.pem")))
	out, err = explain()
	assert.Error(t, err, "it says what serve would say")
	assert.Contains(t, out, "signingKeys")
	_, err = explain("SQUAREMARK_LOG=loud")
	assert.Error(t, err)
}

func TestVersion(t *testing.T) {
	path, err := program()
	require.NoError(t, err)
	out, err := exec.Command(path, "version").Output()
	require.NoError(t, err)
	assert.Regexp(t, `^squaremark \S+\ncommit +\S+.*\nengine +\d+\.\d+\.\d+\ncompiler +go1\.`, string(out))
}
