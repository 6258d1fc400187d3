package standin

import (
	"cmp"
	"math/big"
	"slices"
	"time"

	"squaremark/api/platform"
)

type cell struct{ item, user string }

// maxStamps bounds the history of one cell.
const maxStamps = 256

// Entry is one cell of the gradebook.
type Entry struct {
	LineItem string
	UserID   string
	Shown    *big.Rat       // in points of the line item, exact; nil: no score
	Score    platform.Score // the newest message
	Updates  int            // how many messages were entered
	Stamps   []time.Time    // the timestamps of the last messages that were entered, in order, at most maxStamps
}

// Gradebook is a snapshot of all cells that got a message, by line item and user.
func (p *Platform) Gradebook() []Entry {
	p.mu.Lock()
	defer p.mu.Unlock()
	var entries []Entry
	for _, entry := range p.book {
		entry.Stamps = slices.Clone(entry.Stamps)
		entries = append(entries, entry)
	}
	slices.SortFunc(entries, func(a, b Entry) int {
		return cmp.Or(cmp.Compare(a.LineItem, b.LineItem), cmp.Compare(a.UserID, b.UserID))
	})
	return entries
}
