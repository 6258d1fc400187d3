package api

import (
	"time"

	"squaremark/api/contract"
	"squaremark/grader"
)

// Observer is told what a server does, for counting. Its methods are called from many requests at the same time and
// must return at once. Nothing that it is told names a pupil or a line item or repeats what somebody wrote, except
// the result, of which only catalogued words may be kept.
type Observer interface {
	// RequestBegan is called once for each request, with the pattern of its route ("" outside the contract).
	RequestBegan(route string)
	// RequestEnded is called once for each request that began, after its answer was written.
	RequestEnded(RequestEnd)
	// LineEnded is called once for each line of a batch, with the outcome it would have had as a request.
	LineEnded(outcome, because string)
	// Marked is called for each submission that was marked, before delivery. The result must not be changed or kept.
	Marked(took time.Duration, result *grader.Result)
	// Delivered is called for each end of a delivery, repeats included in it.
	Delivered(DeliveryEnd)
}

// RequestEnd is the end of one request. Every text is of a closed set, apart from Platform, which is an issuer of the
// configuration.
type RequestEnd struct {
	Method   string // a method of HTTP, or "other"
	Route    string // the pattern in the contract, "" outside it
	Status   int
	Outcome  string // "ok", or the last part of the type of the problem
	Because  string // a code that explains the outcome, or ""
	Platform string // "" where no token was accepted
	Took     time.Duration
}

// DeliveryEnd is the end of one delivery.
type DeliveryEnd struct {
	Platform string // the issuer, from the configuration
	Channel  contract.DeliveryChannel
	State    contract.DeliveryState
	Attempts int // how often the message was sent
	Took     time.Duration
}

// blind observes nothing.
type blind struct{}

func (blind) RequestBegan(string)                  {}
func (blind) RequestEnded(RequestEnd)              {}
func (blind) LineEnded(string, string)             {}
func (blind) Marked(time.Duration, *grader.Result) {}
func (blind) Delivered(DeliveryEnd)                {}

// RubricCounts tell how the store of rubrics stands.
type RubricCounts struct {
	Ready    int // quizzes that can be marked now
	KeptOut  int // files that are kept out now because of an error
	Older    int // replaced versions that can still be asked for by digest
	Accepted int // versions that were made ready since the start
	Rejected int // readings of a file that ended in an error since the start
	Readings int // readings of the folder since the start
}

// Counts tells how the store stands.
func (r *Rubrics) Counts() RubricCounts {
	now := r.shelf.Load()
	c := now.counts
	c.Ready, c.KeptOut, c.Older = len(now.newest), len(now.defects), len(now.older)
	return c
}
