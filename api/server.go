package api

import (
	"context"
	"errors"
	"io"
	"log"
	"net"
	"net/http"
	"sync"
	"sync/atomic"
	"time"

	"github.com/labstack/echo/v4"
	"go.uber.org/zap"

	"squaremark/api/contract"
	"squaremark/api/platform"
)

// Server is the JSON API. Safe for concurrent use.
type Server struct {
	rubrics    *Rubrics
	sender     Sender
	lineItems  LineItems
	observer   Observer
	limits     Limits
	log        *zap.Logger
	operations operations
	rates      *rates
	stamps     *platform.Stamps
	clock      platform.Clock
	inFlight   chan struct{} // submissions in hand
	marking    chan struct{} // submissions being marked
	batches    *places       // batches in hand
	parties    atomic.Pointer[parties]
	stopping   atomic.Bool
	stop       chan struct{} // closed when stopping
	stopOnce   sync.Once
	handler    http.Handler
}

// The generated interface is the contract's.
var _ contract.StrictServerInterface = (*Server)(nil)

// New makes a server. Errors: name what is missing or wrong in the configuration, without secrets.
func New(c Config) (*Server, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	known, err := newParties(c.Platforms, c.Verifier)
	if err != nil {
		return nil, err
	}
	operations, err := loadOperations(context.Background())
	if err != nil {
		return nil, err
	}
	if c.Log == nil {
		c.Log = zap.NewNop()
	}
	if c.Observer == nil {
		c.Observer = blind{}
	}
	limits := c.Limits.withDefaults()
	s := &Server{
		rubrics: c.Rubrics, sender: c.Sender, lineItems: c.LineItems, limits: limits, log: c.Log, observer: c.Observer,
		operations: operations, rates: newRates(limits), stamps: platform.NewStamps(c.Clock), clock: c.Clock,
		inFlight: make(chan struct{}, limits.InFlight), marking: make(chan struct{}, limits.Marking),
		batches: newPlaces(limits.Batches), stop: make(chan struct{}),
	}
	s.parties.Store(known)
	s.handler = s.routes()
	return s, nil
}

// routes registers what the contract lists, and nothing else.
func (s *Server) routes() *echo.Echo {
	e := echo.New()
	e.Logger.SetOutput(io.Discard)
	e.Use(s.observe, s.check) // observe answers every error itself
	contract.RegisterHandlers(e, contract.NewStrictHandler(s, nil))
	return e
}

// ServeHTTP answers one request, for tests and for servers of one's own.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.handler.ServeHTTP(w, r) }

// Serve answers on a listener until the context ends. Then readiness turns to fail, the server goes on for
// Limits.DrainDelay (so that balancers can look elsewhere), closes the listener and waits for what is in flight, at
// most Limits.Drain. It gives nil after a clean stop.
//
// Source: Kubernetes documentation, Pod termination flow; Twelve-Factor App IX.
func (s *Server) Serve(ctx context.Context, listener net.Listener) error {
	server := &http.Server{
		Handler:           s.handler,
		ReadHeaderTimeout: s.limits.ReadHeader,
		ReadTimeout:       s.limits.ReadHeader + s.limits.ReadBody,
		WriteTimeout:      s.limits.ReadBody + s.limits.Request + 10*time.Second,
		IdleTimeout:       s.limits.Idle,
		MaxHeaderBytes:    s.limits.HeaderBytes,
		ErrorLog:          log.New(connectionFaults{s.log}, "", 0),
	}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(listener) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	s.stopping.Store(true)
	s.stopOnce.Do(func() { close(s.stop) })
	s.log.Info("stopping", zap.Duration("delay", s.limits.DrainDelay), zap.Duration("drain", s.limits.Drain))
	select {
	case err := <-ended:
		return err
	case <-time.After(s.limits.DrainDelay):
	}
	drain, cancel := context.WithTimeout(context.Background(), s.limits.Drain)
	defer cancel()
	if err := server.Shutdown(drain); err != nil {
		return errors.Join(err, server.Close())
	}
	return nil
}

// connectionFaults counts what net/http complains about. Its texts can hold what a client sent and are left out.
type connectionFaults struct{ log *zap.Logger }

// Write implements io.Writer.
func (f connectionFaults) Write(text []byte) (int, error) {
	f.log.Debug("connection fault")
	return len(text), nil
}
