//go:build container

package deploy

import (
	"archive/tar"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// engine calls podman on the store that container-check filled.
func engine(arguments ...string) *exec.Cmd {
	return exec.Command("podman", append(strings.Fields(os.Getenv("SQUAREMARK_STORE")), arguments...)...)
}

func image(t *testing.T) string {
	name := os.Getenv("SQUAREMARK_IMAGE")
	require.NotEmpty(t, name, "deploy/container-check runs this test")
	return name
}

// The image holds the program, the authorities and nothing else; it says what it is; it runs as nobody in particular.
func TestContainerImage(t *testing.T) {
	raw, err := engine("image", "inspect", image(t)).Output()
	require.NoError(t, err)
	var found []struct {
		Config struct {
			User       string
			Entrypoint []string
			Env        []string
		}
		Labels map[string]string
	}
	require.NoError(t, json.Unmarshal(raw, &found))
	require.Len(t, found, 1)
	assert.Equal(t, "65532:65532", found[0].Config.User)
	assert.Equal(t, []string{"/squaremark"}, found[0].Config.Entrypoint)
	for _, e := range found[0].Config.Env {
		assert.True(t, strings.HasPrefix(e, "PATH="), e)
	}
	for _, label := range []string{"title", "description", "licenses", "version", "revision", "created", "source"} {
		assert.NotEmpty(t, found[0].Labels["org.opencontainers.image."+label], label)
	}
	assert.Equal(t, os.Getenv("REVISION"), found[0].Labels["org.opencontainers.image.revision"])
	assert.Equal(t, os.Getenv("CREATED"), found[0].Labels["org.opencontainers.image.created"])

	name := fmt.Sprintf("files-%d", os.Getpid())
	require.NoError(t, engine("create", "--name", name, image(t)).Run())
	defer func() { _ = engine("rm", name).Run() }()
	export := engine("export", name)
	stream, err := export.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, export.Start())
	var files []string
	for archive := tar.NewReader(stream); ; {
		entry, err := archive.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		if entry.Typeflag == tar.TypeReg && entry.Size > 0 {
			files = append(files, entry.Name)
		}
	}
	require.NoError(t, export.Wait())
	slices.Sort(files)
	assert.Equal(t, []string{"etc/ssl/certs/ca-certificates.crt", "squaremark"}, files)
}

// The image at work: nothing writable, no rights, settings, key and rubrics mounted for reading; ready soon; one
// submission marked and delivered; an order to stop lets the next one end.
func TestContainerAtWork(t *testing.T) {
	r := newRig(t)
	hand := func(path string) {
		require.NoError(t, filepath.WalkDir(path, func(path string, _ os.DirEntry, err error) error {
			if err != nil {
				return err
			}
			return os.Chown(path, 65532, 65532)
		}))
	}
	hand(r.folder)
	name := fmt.Sprintf("squaremark-%d", os.Getpid())
	p, ready := r.start(engine("run", "--rm", "--name", name,
		"--runtime", "runc", "--ulimit", "nofile=1024:1024", "--ulimit", "nproc=1024:1024", "--network", "host",
		"--read-only", "--read-only-tmpfs=false", "--cap-drop", "all", "--security-opt", "no-new-privileges",
		"--mount", "type=bind,src="+r.folder+",dst=/etc/squaremark,ro=true",
		"--env", "SQUAREMARK_CONFIG=/etc/squaremark/settings.yaml", image(t)))
	defer func() { _ = engine("rm", "--force", name).Run() }()

	require.Equal(t, 200, r.submit("p-72f5", map[string]any{"square-bed": "1, 2, 3, 4, 5, 6, 7"}))
	require.Len(t, r.school.Gradebook(), 1)
	metrics := r.scrape()
	assert.Contains(t, metrics, `squaremark_answers_total{kind="integers",verdict="full"} 1`)
	assert.Contains(t, metrics, `revision="`+os.Getenv("REVISION")+`"`)
	pid, err := engine("inspect", "--format", "{{.State.Pid}}", name).Output()
	require.NoError(t, err)
	status, err := os.ReadFile("/proc/" + strings.TrimSpace(string(pid)) + "/status")
	require.NoError(t, err)
	field := func(name string) string {
		for line := range strings.Lines(string(status)) {
			if rest, ok := strings.CutPrefix(line, name+":"); ok {
				return strings.Join(strings.Fields(rest), " ")
			}
		}
		return ""
	}
	assert.Equal(t, "65532 65532 65532 65532", field("Uid"))
	assert.Equal(t, "0000000000000000", field("CapEff"))
	assert.Equal(t, "1", field("NoNewPrivs"))

	r.stopWhileBusy("p-73a6", func() { go func() { _ = engine("stop", "--time", "60", name).Run() }() })
	assert.Contains(t, p.end(), `"stopping"`)
	fmt.Printf("start to ready %d ms, memory after one submission %s\n", ready.Milliseconds(), field("VmRSS"))
}
