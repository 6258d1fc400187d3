package api

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"time"

	"go.uber.org/zap"

	"squaremark/api/platform"
)

// Verifier decides on bearer tokens; [platform.Verifier] is one.
type Verifier interface {
	Verify(ctx context.Context, token string) (*platform.Caller, *platform.Refusal)
}

// Sender delivers scores and events; [platform.Client] is one.
type Sender interface {
	PostScore(ctx context.Context, r *platform.Registration, lineItem string, score platform.Score) (platform.Outcome, error)
	PostWebhook(ctx context.Context, hook *platform.Webhook, event platform.Event) (platform.Outcome, error)
}

// LineItems finds line items by their names; [platform.Client] does.
type LineItems interface {
	FindOrCreateLineItem(ctx context.Context, r *platform.Registration, q platform.ItemQuery, create *platform.LineItem) (platform.LineItem, error)
}

// LookupRight says what submissions of a platform may do besides naming a line item.
type LookupRight string

// The values of LookupRight.
const (
	NoLookup        LookupRight = ""       // name line items only
	LookupOnly      LookupRight = "find"   // find one by its names
	LookupAndCreate LookupRight = "create" // find one or have it made
)

// Config says what a server works with. Rubrics, Verifier, Sender and at least one platform are needed.
type Config struct {
	Rubrics   *Rubrics
	Verifier  Verifier
	Sender    Sender
	LineItems LineItems // needed where a platform may look up line items
	Platforms []Platform
	Limits    Limits
	Log       *zap.Logger    // nil: silent
	Clock     platform.Clock // nil: the system's
	Observer  Observer       // nil: nobody counts
}

// Platform is one course platform that may call.
type Platform struct {
	// Registration says who it is and where its line items are. Its key set is published under /.well-known/jwks.json.
	Registration *platform.Registration
	// Webhooks may be named as targets by this platform's submissions, and by no other's.
	Webhooks []*platform.Webhook
	// PinnedOnly refuses tokens that do not say which pupil they are for: every submission then needs its own token.
	PinnedOnly bool
	// Quizzes are the ids of the quizzes that this platform may see and have marked; empty means all. Others are to it
	// as if they did not exist.
	Quizzes []string
	// Lookup permits targets that name a line item by its names instead of its address.
	Lookup LookupRight
}

// Limits bound one server. A zero field takes the default; there is no "for ever".
type Limits struct {
	BodyBytes   int64 // of a request; default 256 KiB
	Depth       int   // of nesting in a request; default 8
	HeaderBytes int   // of all header fields; default 32 KiB

	ReadHeader time.Duration // from the first byte to the end of the header; default 5 s
	ReadBody   time.Duration // from the end of the header to the end of the body; default 10 s
	Request    time.Duration // marking and delivery together; default 60 s
	Idle       time.Duration // of a connection between requests; default 60 s

	PerSecond float64 // requests of one caller, sustained; default 20
	Burst     int     // requests of one caller at once; default 60
	Callers   int     // callers that are remembered; default 10 000

	InFlight    int           // submissions in hand, delivery included; more are refused at once; default 128
	Batches     int           // batches at the same time, half of them for one platform; more are refused at once; default 4
	BatchLines  int           // of one batch; default 1000
	BatchWindow int           // lines of one batch in hand; default 8
	Batch       time.Duration // one whole batch; default 10 min
	BatchPause  time.Duration // the longest wait for the next line, and for the caller to take a reply; default 60 s

	Marking int // submissions being marked at the same time; the others wait; default one a processor

	Receipt time.Duration // how long a receipt can be delivered, at most 30 days; default 7 days

	DrainDelay time.Duration // from the order to stop to the closed listener, still answering; default 0
	Drain      time.Duration // for what is in flight after that; default 70 s
}

// DefaultLimits are the limits where nothing says otherwise.
func DefaultLimits() Limits { return Limits{}.withDefaults() }

func (l Limits) withDefaults() Limits {
	setDefault(&l.BodyBytes, 256<<10)
	setDefault(&l.Depth, 8)
	setDefault(&l.HeaderBytes, 32<<10)
	setDefault(&l.ReadHeader, 5*time.Second)
	setDefault(&l.ReadBody, 10*time.Second)
	setDefault(&l.Request, time.Minute)
	setDefault(&l.Idle, time.Minute)
	setDefault(&l.PerSecond, 20)
	setDefault(&l.Burst, 60)
	setDefault(&l.Callers, 10_000)
	setDefault(&l.InFlight, 128)
	setDefault(&l.Marking, runtime.GOMAXPROCS(0))
	setDefault(&l.Batches, 4)
	setDefault(&l.BatchLines, 1000)
	setDefault(&l.BatchWindow, 8)
	setDefault(&l.Batch, 10*time.Minute)
	setDefault(&l.BatchPause, time.Minute)
	setDefault(&l.Receipt, 7*24*time.Hour)
	l.Receipt = min(l.Receipt, platform.MaxReceiptLife)
	setDefault(&l.Drain, 70*time.Second)
	l.DrainDelay = max(l.DrainDelay, 0)
	return l
}

func setDefault[T int | int64 | float64 | time.Duration](field *T, value T) {
	if *field <= 0 {
		*field = value
	}
}

// check refuses what could not be served. Errors: name the part and the defect.
func (c *Config) check() error {
	switch {
	case c.Rubrics == nil:
		return errors.New("api: the store of rubrics is missing")
	case c.Verifier == nil:
		return errors.New("api: the verifier of tokens is missing")
	case c.Sender == nil:
		return errors.New("api: the sender of scores is missing")
	case len(c.Platforms) == 0:
		return errors.New("api: no platform is configured")
	}
	for i, p := range c.Platforms {
		if p.Registration == nil {
			return fmt.Errorf("api: platform %d has no registration", i+1)
		}
		if err := p.Registration.Validate(); err != nil {
			return fmt.Errorf("api: platform %d: %w", i+1, err)
		}
		switch {
		case p.Lookup != NoLookup && p.Lookup != LookupOnly && p.Lookup != LookupAndCreate:
			return fmt.Errorf("api: platform %d: the right to look up line items is not one of the known ones", i+1)
		case p.Lookup != NoLookup && c.LineItems == nil:
			return fmt.Errorf("api: platform %d may look up line items, but there is nobody to find them", i+1)
		}
		for _, hook := range p.Webhooks {
			if hook == nil {
				return fmt.Errorf("api: platform %d has an empty webhook", i+1)
			}
			if err := hook.Validate(); err != nil {
				return fmt.Errorf("api: platform %d: %w", i+1, err)
			}
		}
	}
	return nil
}

// partners are the platforms by issuer, made ready for look-up.
type partners map[string]*partner

type partner struct {
	registration *platform.Registration
	hooks        map[string]*platform.Webhook
	pinnedOnly   bool
	quizzes      []string
	lookup       LookupRight
}

func (p *partner) sees(one *loaded) bool {
	return len(p.quizzes) == 0 || slices.Contains(p.quizzes, one.Quiz.Value)
}

func newPartners(list []Platform) (partners, error) {
	all := partners{}
	for _, p := range list {
		issuer := p.Registration.Issuer
		if _, twice := all[issuer]; twice {
			return nil, fmt.Errorf("api: platform %q occurs twice", issuer)
		}
		one := &partner{registration: p.Registration, hooks: map[string]*platform.Webhook{}, pinnedOnly: p.PinnedOnly, quizzes: p.Quizzes, lookup: p.Lookup}
		for _, hook := range p.Webhooks {
			if _, twice := one.hooks[hook.Name]; twice {
				return nil, fmt.Errorf("api: webhook %q of platform %q occurs twice", hook.Name, issuer)
			}
			one.hooks[hook.Name] = hook
		}
		all[issuer] = one
	}
	return all, nil
}
