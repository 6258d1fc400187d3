package api

import "sync"

// places are a bounded number of places, of which one platform may hold half at most, so that none can shut out the
// others.
type places struct {
	total int

	mu   sync.Mutex
	all  int
	held map[string]int // by issuer
}

func newPlaces(total int) *places { return &places{total: total, held: map[string]int{}} }

// take gives a place at once or not at all.
func (p *places) take(issuer string) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.all >= p.total || p.held[issuer] >= (p.total+1)/2 {
		return false
	}
	p.all++
	p.held[issuer]++
	return true
}

// leave gives a place back.
func (p *places) leave(issuer string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.all--
	if p.held[issuer]--; p.held[issuer] == 0 {
		delete(p.held, issuer)
	}
}
