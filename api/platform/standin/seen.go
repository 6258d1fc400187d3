package standin

import (
	"net/http"
	"slices"
	"time"
)

// maxSeen bounds the record of one endpoint; the oldest requests go first.
const maxSeen = 4096

// Request is a request as it arrived.
type Request struct {
	At     time.Time
	Method string
	Target string // path and query
	Header http.Header
	Body   []byte
}

// Seen are the requests to an endpoint in order of arrival, those that went wrong included.
func (p *Platform) Seen(at Endpoint) []Request {
	s := p.state(at)
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(s.seen)
}

func (s *state) record(r *http.Request, body []byte) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(s.seen) >= maxSeen {
		s.seen = s.seen[1:]
	}
	s.seen = append(s.seen, Request{
		At: time.Now(), Method: r.Method, Target: r.URL.RequestURI(), Header: r.Header.Clone(), Body: body,
	})
}
