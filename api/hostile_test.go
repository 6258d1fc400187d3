package api_test

import (
	"fmt"
	"io"
	"net"
	"net/http"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api"
)

// Hostile bodies are answered within bounded time, and the service goes on.
func TestHostileBodies(t *testing.T) {
	c := newCircle(t)
	wrap := func(answer string) string {
		return strings.Replace(`{"rubric":{"quiz":"garden-plots"},"pupil":"p-07c2","target":{"webhook":"`+hookName+
			`"},"submittedAt":"2026-03-05T18:42:10Z","answers":{"fence":ANSWER}}`, "ANSWER", answer, 1)
	}
	names := strings.Builder{}
	for i := range 9000 {
		fmt.Fprintf(&names, `"n%d":"x",`, i)
	}
	for _, row := range []struct {
		name, body string
		status     int
		problem    string
	}{
		{"10 MB of spaces", strings.Repeat(" ", 10<<20), 413, "body-too-large"},
		{"10 MB in one answer", wrap(`"` + strings.Repeat("x", 10<<20) + `"`), 413, "body-too-large"},
		{"10 000 brackets", strings.Repeat("[", 10_000), 400, "malformed-json"},
		{"10 000 brackets, closed", wrap(strings.Repeat("[", 10_000) + strings.Repeat("]", 10_000)), 400, "malformed-json"},
		{"10 000 objects deep", strings.Repeat(`{"a":`, 10_000), 400, "malformed-json"},
		{"tower of powers", wrap(`"9^9^9^9"`), 200, ""},
		{"10 000 digits in an answer", wrap(`"` + strings.Repeat("7", 10_000) + `"`), 200, ""},
		{"10 000 digits as a number", wrap(strings.Repeat("7", 10_000)), 422, "invalid-submission"},
		{"an exponent beyond any number", wrap(`1e999999999`), 422, "invalid-submission"},
		{"zero bytes", wrap("\"a\x00b\""), 400, "malformed-json"},
		{"escaped zero byte", wrap(`"a\u0000b"`), 200, ""},
		{"not UTF-8", wrap("\"\xc3\x28\""), 400, "malformed-json"},
		{"half a surrogate pair", wrap(`"\udc00"`), 400, "malformed-json"},
		{"replacement character written out", wrap(`"\ufffd"`), 200, ""},
		{"escaped back-slash before ufffd", wrap(`"\\ufffd"`), 200, ""},
		{"byte order mark", "\ufeff" + wrap(`"x"`), 400, "malformed-json"},
		{"member twice, second one escaped", `{"pupil":"a","pup\u0069l":"b"}`, 400, "malformed-json"},
		{"answer twice", wrap(`"x","fence":"y"`), 400, "malformed-json"},
		{"prototype", wrap(`"x","__proto__":{"role":"teacher"}`), 422, "invalid-submission"},
		{"9000 answers", wrap(`"x",` + strings.TrimSuffix(names.String(), ",")), 422, "invalid-submission"},
		{"null", "null", 422, "invalid-submission"},
		{"a list", "[]", 422, "invalid-submission"},
		{"a text", `"x"`, 422, "invalid-submission"},
		{"NaN", wrap("NaN"), 400, "malformed-json"},
		{"comment", "/* */ {}", 400, "malformed-json"},
		{"direction overrides", wrap("\"\u202e7 = x\u202c\""), 200, ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			c := *c
			c.t = t
			started := time.Now()
			answer := c.do(c.submit(row.body))
			assert.Less(t, time.Since(started), 5*time.Second)
			require.Equal(t, row.status, answer.status, "%.300s", answer.body)
			if row.problem != "" {
				assert.Equal(t, row.problem, answer.problem(t))
				assert.Less(t, len(answer.body), 8<<10)
			}
		})
	}
	assert.Equal(t, 200, c.do(good(c)).status)
}

// A body that goes on for ever is cut at the limit, whatever length it states.
func TestEndlessBody(t *testing.T) {
	c := newCircle(t)
	request, err := http.NewRequest(http.MethodPost, c.url+"/v1/submissions", io.LimitReader(endless{}, 64<<20))
	require.NoError(t, err)
	request.Header = c.submit("").header
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	answer, err := http.DefaultClient.Do(request)
	require.NoError(t, err)
	defer answer.Body.Close()
	runtime.ReadMemStats(&after)
	assert.Equal(t, http.StatusRequestEntityTooLarge, answer.StatusCode)
	assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(8<<20))
}

type endless struct{}

func (endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = ' '
	}
	return len(p), nil
}

// dial opens a bare connection, so that a test can be as slow as it likes.
func (c *circle) dial() net.Conn {
	connection, err := net.Dial("tcp", strings.TrimPrefix(c.url, "http://"))
	require.NoError(c.t, err)
	c.t.Cleanup(func() { connection.Close() })
	require.NoError(c.t, connection.SetDeadline(time.Now().Add(10*time.Second)))
	return connection
}

func TestASlowBodyIsGivenUp(t *testing.T) {
	c := newCircle(t, func(c *api.Config) { c.Limits.ReadBody = 150 * time.Millisecond })
	for _, path := range []string{"/v1/submissions", "/v1/receipts"} {
		connection := c.dial()
		_, err := fmt.Fprintf(connection, "POST %s HTTP/1.1\r\nHost: circle\r\nAuthorization: Bearer %s\r\nContent-Type: application/json\r\nContent-Length: 500\r\n\r\n{",
			path, c.token(nil))
		require.NoError(t, err)
		started := time.Now()
		text, err := io.ReadAll(connection)
		require.NoError(t, err)
		assert.Less(t, time.Since(started), 4*time.Second)
		assert.True(t, strings.HasPrefix(string(text), "HTTP/1.1 408 "), "%s", text)
		assert.Contains(t, string(text), "problems/body-too-slow")
		assert.Contains(t, string(text), "Connection: close")
	}
}

func TestASlowHeaderIsGivenUp(t *testing.T) {
	c := newCircle(t, func(c *api.Config) { c.Limits.ReadHeader = 100 * time.Millisecond })
	connection := c.dial()
	_, err := io.WriteString(connection, "GET /healthz HTTP/1.1\r\nHost:")
	require.NoError(t, err)
	started := time.Now()
	_, err = io.ReadAll(connection)
	require.NoError(t, err)
	assert.Less(t, time.Since(started), 4*time.Second)
}

func TestHugeHeadersAreRefused(t *testing.T) {
	c := newCircle(t)
	connection := c.dial()
	_, err := fmt.Fprintf(connection, "GET /healthz HTTP/1.1\r\nHost: circle\r\nX-Filler: %s\r\n\r\n", strings.Repeat("x", 64<<10))
	require.NoError(t, err)
	status := make([]byte, len("HTTP/1.1 431"))
	_, err = io.ReadFull(connection, status)
	require.NoError(t, err)
	assert.Equal(t, "HTTP/1.1 431", string(status))
}

// Marking that takes longer than the body may take is not cut off by the body's deadline.
func TestTheBodysDeadlineEndsWithTheBody(t *testing.T) {
	held, hold := make(chan struct{}, 1), make(chan struct{})
	c := newCircle(t, rubricsMarkedBy(holding(held, hold)), func(c *api.Config) { c.Limits.ReadBody = 700 * time.Millisecond })
	time.AfterFunc(time.Second, func() { close(hold) })
	assert.Equal(t, 200, c.do(good(c)).status)
}

// What was marked is delivered even if the caller hangs up meanwhile.
func TestACallerWhoHangsUpLosesNothing(t *testing.T) {
	held, hold := make(chan struct{}, 1), make(chan struct{})
	c := newCircle(t)
	slow := newCircle(t, func(c *api.Config) {
		c.Sender = &slowSender{Sender: c.Sender, held: held, hold: hold}
	})
	k := good(slow)
	connection := slow.dial()
	_, err := fmt.Fprintf(connection, "POST /v1/submissions HTTP/1.1\r\nHost: circle\r\nAuthorization: %s\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n%s",
		k.header.Get("Authorization"), len(k.body), k.body)
	require.NoError(t, err)
	<-held
	require.NoError(t, connection.Close())
	time.Sleep(50 * time.Millisecond)
	close(hold)
	require.Eventually(t, func() bool { return len(slow.platform.Gradebook()) == 1 }, 3*time.Second, 10*time.Millisecond)
	assert.Empty(t, c.platform.Gradebook())
}
