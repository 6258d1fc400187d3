package api

import (
	"container/list"
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// rates keeps one token bucket a caller, for at most a fixed number of callers; the one that was quiet for longest is
// forgotten first. Callers are names from verified tokens only, so nobody else can push a caller out.
type rates struct {
	perSecond rate.Limit
	burst     int
	callers   int

	mu    sync.Mutex
	known map[string]*list.Element
	order *list.List // of *bucket, the last active first
}

type bucket struct {
	caller  string
	limiter *rate.Limiter
}

func newRates(l Limits) *rates {
	return &rates{
		perSecond: rate.Limit(l.PerSecond), burst: l.Burst, callers: l.Callers,
		known: map[string]*list.Element{}, order: list.New(),
	}
}

// take asks for one request now, or tells how long to wait.
func (r *rates) take(caller string, now time.Time) (wait time.Duration, ok bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	reservation := r.bucket(caller).ReserveN(now, 1)
	if wait = reservation.DelayFrom(now); wait > 0 {
		reservation.CancelAt(now)
		return wait, false
	}
	return 0, true
}

func (r *rates) bucket(caller string) *rate.Limiter {
	if element, ok := r.known[caller]; ok {
		r.order.MoveToFront(element)
		return element.Value.(*bucket).limiter
	}
	if r.order.Len() >= r.callers {
		oldest := r.order.Back()
		delete(r.known, oldest.Value.(*bucket).caller)
		r.order.Remove(oldest)
	}
	fresh := &bucket{caller: caller, limiter: rate.NewLimiter(r.perSecond, r.burst)}
	r.known[caller] = r.order.PushFront(fresh)
	return fresh.limiter
}
