package platform

import (
	"sync/atomic"
	"time"
)

// Stamps gives the timestamps of scores: whole milliseconds in UTC, each later than every one before it from the same
// Stamps, whatever the clock does. One Stamps serves the whole process, so the times for one line item and user rise.
//
// Limits: two replicas do not know of each other. Scores for one user and line item that two replicas stamp within
// the difference of their clocks may carry equal or reversed times; the platform then keeps the later stamp and
// answers the other as stale. The same holds across a restart with the clock set back. Above 1000 stamps a second,
// sustained, stamps run ahead of the clock.
//
// Source: LTI Assignment and Grade Services 2.0, section 3.4.9.
type Stamps struct {
	clock Clock
	last  atomic.Int64 // milliseconds since 1970
}

// NewStamps starts a source of timestamps on the given clock (nil for the system's).
func NewStamps(clock Clock) *Stamps { return &Stamps{clock: clock} }

// Next is a fresh timestamp. Safe for concurrent use.
func (s *Stamps) Next() time.Time {
	for {
		last := s.last.Load()
		next := max(s.clock.now().UnixMilli(), last+1)
		if s.last.CompareAndSwap(last, next) {
			return time.UnixMilli(next).UTC()
		}
	}
}
