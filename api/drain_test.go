package api_test

import (
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api"
)

// An order to stop lets work in hand finish, and while it does readiness says so.
func TestDrain(t *testing.T) {
	held, hold := make(chan struct{}, 1), make(chan struct{})
	c := newCircle(t, rubricsMarkedBy(holding(held, hold)), func(c *api.Config) { c.Limits.DrainDelay = 1500 * time.Millisecond })
	done := make(chan reply, 1)
	k := good(c)
	go func() { done <- c.do(k) }()
	<-held
	c.stop()
	require.Eventually(t, func() bool {
		answer := c.do(call{method: "GET", path: "/readyz", header: http.Header{}})
		return answer.status == 503 && answer.json(t)["output"] == "stopping"
	}, 1400*time.Millisecond, 5*time.Millisecond)
	assert.Equal(t, 200, c.do(call{method: "GET", path: "/healthz", header: http.Header{}}).status, "alive all the same")
	require.Eventually(t, func() bool {
		connection, err := net.Dial("tcp", strings.TrimPrefix(c.url, "http://"))
		if err == nil {
			connection.Close()
		}
		return err != nil
	}, 10*time.Second, 10*time.Millisecond, "the listener closes")
	close(hold)
	assert.Equal(t, 200, (<-done).status)
	require.NoError(t, <-c.ended)
	assert.Len(t, c.platform.Gradebook(), 1)
}

// What does not come to an end is cut off.
func TestDrainHasAnEnd(t *testing.T) {
	held, hold := make(chan struct{}, 1), make(chan struct{})
	c := newCircle(t, rubricsMarkedBy(holding(held, hold)), func(c *api.Config) { c.Limits.Drain = 100 * time.Millisecond })
	k := good(c)
	go func() {
		request, err := http.NewRequest(k.method, c.url+k.path, strings.NewReader(k.body))
		if err == nil {
			request.Header = k.header
			_, err = http.DefaultClient.Do(request)
		}
		assert.Error(t, err)
		close(hold)
	}()
	<-held
	c.stop()
	select {
	case err := <-c.ended:
		assert.ErrorContains(t, err, "deadline")
	case <-time.After(10 * time.Second):
		t.Fatal("the server does not stop")
	}
	<-hold
}

func TestServeTellsOfABrokenListener(t *testing.T) {
	c := newCircle(t)
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	require.NoError(t, listener.Close())
	assert.Error(t, c.server.Serve(t.Context(), listener))
}
