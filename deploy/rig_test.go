// Package deploy tests what operators are given: the image, the manifests, the alerts and the manuals, against real
// processes on this machine.
package deploy

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math/big"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"squaremark/api/platform"
	"squaremark/api/platform/standin"
)

// rig is a stand-in platform and a folder with all that the service needs to serve it.
type rig struct {
	t       *testing.T
	school  *standin.Platform
	folder  string
	public  string // host:port
	private string
	item    string
}

func newRig(t *testing.T) *rig {
	t.Helper()
	r := &rig{t: t, folder: t.TempDir(), public: free(t), private: free(t)}
	var err error
	r.school, err = standin.Start(standin.Config{ToolKeySetURL: "http://" + r.public + "/.well-known/jwks.json"})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, r.school.Close()) })
	r.item = r.school.AddLineItem(standin.LineItem{ID: "plots", Label: "Garden plots", Maximum: big.NewRat(27, 1)})
	key, err := platform.GenerateSigningKey(2048)
	require.NoError(t, err)
	text, err := key.PEM()
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(r.folder, "service.pem"), text, 0o600))
	require.NoError(t, os.CopyFS(filepath.Join(r.folder, "course"), os.DirFS("course")))
	settings := fmt.Sprintf(`listen: %[2]s
metrics: %[3]s
rubrics: course
watch: 1s
platforms:
  - issuer: %[1]s
    audience: squaremark
    keySetUrl: %[1]s/jwks
    clientId: client-circle
    tokenUrl: %[1]s/token
    lineItemOrigins: [%[1]s]
    signingKeys: [service.pem]
    localTest: true
`, r.school.URL(), r.public, r.private)
	require.NoError(t, os.WriteFile(filepath.Join(r.folder, "settings.yaml"), []byte(settings), 0o600))
	return r
}

// free is an address on this machine that nobody uses at the moment.
func free(t *testing.T) string {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer listener.Close()
	return listener.Addr().String()
}

// programs is the folder of the built program.
var programs string

func TestMain(m *testing.M) {
	code := 1
	if folder, err := os.MkdirTemp("", "squaremark-program-"); err == nil {
		programs = folder
		code = m.Run()
		_ = os.RemoveAll(folder)
	}
	os.Exit(code)
}

// program builds the service once.
var program = sync.OnceValues(func() (string, error) {
	path := filepath.Join(programs, "squaremark")
	if out, err := exec.Command("go", "build", "-o", path, "squaremark/cmd/squaremark").CombinedOutput(); err != nil {
		return "", fmt.Errorf("%w: %s", err, out)
	}
	return path, nil
})

// process is a running service.
type process struct {
	t     *testing.T
	ended chan error
	out   *bytes.Buffer // to be read after the end
}

// start runs a command and gives the time until it was ready.
func (r *rig) start(command *exec.Cmd) (*process, time.Duration) {
	r.t.Helper()
	p := &process{t: r.t, ended: make(chan error, 1), out: &bytes.Buffer{}}
	command.Stdout, command.Stderr = p.out, p.out
	began := time.Now()
	require.NoError(r.t, command.Start())
	go func() { p.ended <- command.Wait() }()
	for deadline := time.Now().Add(30 * time.Second); r.status("/readyz") != http.StatusOK; time.Sleep(2 * time.Millisecond) {
		select {
		case err := <-p.ended:
			require.FailNow(r.t, "the service ended", "%v\n%s", err, p.out)
		default:
			require.True(r.t, time.Now().Before(deadline), "the service is not ready")
		}
	}
	return p, time.Since(began)
}

// end waits for the process and gives its log.
func (p *process) end() string {
	p.t.Helper()
	select {
	case err := <-p.ended:
		require.NoError(p.t, err, "%s", p.out)
	case <-time.After(30 * time.Second):
		require.FailNow(p.t, "the service does not stop")
	}
	return p.out.String()
}

// run starts the program itself.
func (r *rig) run() (*process, *exec.Cmd) {
	r.t.Helper()
	path, err := program()
	require.NoError(r.t, err)
	command := exec.Command(path, "serve", "--config", filepath.Join(r.folder, "settings.yaml"))
	command.Dir = r.folder
	p, _ := r.start(command)
	r.t.Cleanup(func() { _ = command.Process.Kill() })
	return p, command
}

func (r *rig) status(path string) int {
	answer, err := http.Get("http://" + r.public + path)
	if err != nil {
		return 0
	}
	defer answer.Body.Close()
	_, _ = io.Copy(io.Discard, answer.Body)
	return answer.StatusCode
}

// submit sends one pupil's answers and gives the status.
func (r *rig) submit(pupil string, answers map[string]any) int {
	token, err := r.school.MintSubmissionToken(map[string]any{"sub": "circle-courses", "scope": "submit read"})
	if err != nil {
		return 0
	}
	body, err := json.Marshal(map[string]any{
		"rubric": map[string]string{"quiz": "garden-plots-1"}, "pupil": pupil, "target": map[string]string{"lineItem": r.item},
		"submittedAt": time.Now().UTC().Format(time.RFC3339), "answers": answers,
	})
	if err != nil {
		return 0
	}
	request, err := http.NewRequest(http.MethodPost, "http://"+r.public+"/v1/submissions", bytes.NewReader(body))
	if err != nil {
		return 0
	}
	request.Header.Set("Authorization", "Bearer "+token)
	request.Header.Set("Content-Type", "application/json")
	answer, err := http.DefaultClient.Do(request)
	if err != nil {
		return 0
	}
	defer answer.Body.Close()
	_, _ = io.Copy(io.Discard, answer.Body)
	return answer.StatusCode
}

// stopWhileBusy sends a submission whose delivery is slow, gives the order to stop while it is on its way, and
// demands that it ends well.
func (r *rig) stopWhileBusy(pupil string, stop func()) {
	r.t.Helper()
	r.school.Fail(standin.ScoresEndpoint, standin.Fault{Delay: 2 * time.Second})
	before := len(r.school.Seen(standin.ScoresEndpoint))
	status := make(chan int, 1)
	go func() { status <- r.submit(pupil, map[string]any{"square-bed": "1, 2, 3, 4, 5, 6, 7"}) }()
	require.Eventually(r.t, func() bool {
		return strings.Contains(r.scrape(), `squaremark_requests_in_flight{route="/v1/submissions"} 1`) ||
			len(r.school.Seen(standin.ScoresEndpoint)) > before
	}, 10*time.Second, 2*time.Millisecond)
	stop()
	require.Equal(r.t, http.StatusOK, <-status, "what is in hand is finished")
	arrived := false
	for _, e := range r.school.Gradebook() {
		arrived = arrived || e.UserID == pupil
	}
	require.True(r.t, arrived, "the score arrived")
}

// scrape is the text of the metrics.
func (r *rig) scrape() string {
	answer, err := http.Get("http://" + r.private + "/metrics")
	if err != nil {
		return ""
	}
	defer answer.Body.Close()
	text, _ := io.ReadAll(answer.Body)
	return string(text)
}
