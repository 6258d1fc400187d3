package api

import (
	"testing"

	"pgregory.net/rapid"
)

// Against a plain account of who holds what: never more than all, never more than half for one, and whoever may have a
// place gets it.
func TestPlaces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		total := rapid.IntRange(1, 7).Draw(t, "total")
		p, account := newPlaces(total), map[string]int{}
		for range rapid.IntRange(0, 60).Draw(t, "steps") {
			issuer := rapid.SampledFrom([]string{"circle", "second", "third"}).Draw(t, "issuer")
			if rapid.Bool().Draw(t, "leave") && account[issuer] > 0 {
				p.leave(issuer)
				account[issuer]--
				continue
			}
			all := account["circle"] + account["second"] + account["third"]
			may := all < total && 2*account[issuer] < total+total%2
			if got := p.take(issuer); got != may {
				t.Fatalf("%v of %d: %s gets %v", account, total, issuer, got)
			}
			if may {
				account[issuer]++
			}
		}
		for issuer, held := range account {
			for range held {
				p.leave(issuer)
			}
		}
		if p.all != 0 || len(p.held) != 0 {
			t.Fatal("something is left")
		}
	})
}
