package api

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

func TestRates(t *testing.T) {
	r := newRates(Limits{PerSecond: 2, Burst: 3, Callers: 2})
	now := time.Unix(1_700_000_000, 0)
	take := func(caller string) bool { _, ok := r.take(caller, now); return ok }
	assert.Equal(t, []bool{true, true, true, false}, []bool{take("a"), take("a"), take("a"), take("a")})
	wait, _ := r.take("a", now)
	assert.Equal(t, 500*time.Millisecond, wait, "a refusal takes nothing away")
	assert.True(t, take("b"), "callers do not share")
	now = now.Add(500 * time.Millisecond)
	assert.True(t, take("a"))
	assert.False(t, take("a"))
}

func TestRememberedCallersAreBounded(t *testing.T) {
	r := newRates(Limits{PerSecond: 1, Burst: 1, Callers: 8})
	now := time.Unix(1_700_000_000, 0)
	for i := range 1000 {
		r.take(fmt.Sprint(i), now)
		r.take("busy", now)
		assert.LessOrEqual(t, len(r.known), 8)
		assert.Len(t, r.known, r.order.Len())
	}
	_, ok := r.take("busy", now)
	assert.False(t, ok, "the active one is remembered")
}
