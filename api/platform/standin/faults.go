package standin

import (
	"bytes"
	"io"
	"net/http"
	"sync"
	"time"
)

// Endpoint is a part of the platform that can be told to misbehave.
type Endpoint string

// The endpoints.
const (
	TokenEndpoint   Endpoint = "token"
	KeysEndpoint    Endpoint = "jwks"
	ItemsEndpoint   Endpoint = "items"
	ScoresEndpoint  Endpoint = "scores"
	ResultsEndpoint Endpoint = "results"
	HooksEndpoint   Endpoint = "hooks"
)

// Fault is how one request goes wrong. The parts happen in this order.
type Fault struct {
	Delay  time.Duration     // wait before anything else
	Work   bool              // with Reset or Status: do the work all the same; its answer is lost
	Reset  bool              // break the connection without an answer
	Status int               // answer with this status; 0 without Reset: answer as usual
	Header map[string]string // further header fields, such as Location or Retry-After
	Body   string
	Stall  time.Duration // after header and body, hold the connection open without an end
}

// state is what an endpoint remembers.
type state struct {
	mu     sync.Mutex
	faults []Fault
	seen   []Request
}

func (p *Platform) state(at Endpoint) *state {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.endpoint[at] == nil {
		p.endpoint[at] = &state{}
	}
	return p.endpoint[at]
}

// Fail lets the next requests to an endpoint go wrong, one fault each; after that it works as usual again.
func (p *Platform) Fail(at Endpoint, faults ...Fault) {
	s := p.state(at)
	s.mu.Lock()
	defer s.mu.Unlock()
	s.faults = append(s.faults, faults...)
}

// Heal drops the faults that still wait for a request.
func (p *Platform) Heal(at Endpoint) {
	s := p.state(at)
	s.mu.Lock()
	defer s.mu.Unlock()
	s.faults = nil
}

func (s *state) next() (Fault, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(s.faults) == 0 {
		return Fault{}, false
	}
	fault := s.faults[0]
	s.faults = s.faults[1:]
	return fault, true
}

// at records each request to an endpoint and lets it go wrong when a fault is waiting.
func (p *Platform) at(endpoint Endpoint, work http.HandlerFunc) http.Handler {
	s := p.state(endpoint)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, maxBody))
		if err != nil {
			w.WriteHeader(http.StatusRequestEntityTooLarge)
			return
		}
		r.Body = io.NopCloser(bytes.NewReader(body))
		s.record(r, body)
		fault, waiting := s.next()
		if !waiting {
			work(w, r)
			return
		}
		p.misbehave(w, r, fault, work)
	})
}

func (p *Platform) misbehave(w http.ResponseWriter, r *http.Request, fault Fault, work http.HandlerFunc) {
	p.hold(r, fault.Delay)
	if fault.Work {
		work(lostAnswer{http.Header{}}, r)
	}
	if fault.Reset {
		panic(http.ErrAbortHandler) // the server's documented way to drop a connection
	}
	if fault.Status == 0 {
		work(w, r)
		return
	}
	for name, value := range fault.Header {
		w.Header().Set(name, value)
	}
	w.WriteHeader(fault.Status)
	_, _ = io.WriteString(w, fault.Body)
	if fault.Stall > 0 {
		_ = http.NewResponseController(w).Flush()
		p.hold(r, fault.Stall)
		panic(http.ErrAbortHandler)
	}
}

// hold waits, but not beyond the request or the server.
func (p *Platform) hold(r *http.Request, d time.Duration) {
	select {
	case <-time.After(d):
	case <-r.Context().Done():
	case <-p.closing:
	}
}

// lostAnswer takes an answer that nobody will see.
type lostAnswer struct{ header http.Header }

func (l lostAnswer) Header() http.Header         { return l.header }
func (l lostAnswer) Write(b []byte) (int, error) { return len(b), nil }
func (l lostAnswer) WriteHeader(int)             {}
