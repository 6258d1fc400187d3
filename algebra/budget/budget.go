// Package budget bounds what one question may cost: how long its text may be,
// how deep, how many digits, terms and degrees its objects may have, and how
// much work may be spent on it.
//
// A Meter is sticky: once exhausted it stays so, every operation that is
// given it returns at once with a well-formed but meaningless value, and the
// caller that owns the question throws the result away and says "unsettled".
// So arithmetic needs no error results, and no verdict can rest on a value
// made after exhaustion: the facade looks at the meter last.
//
// The unit of work is about one machine-word multiplication of two terms,
// roughly 10 ns; Costs is the one table of prices.
package budget

import "fmt"

// Limits are the bounds for one question, in the objects' own terms.
type Limits struct {
	Bytes  int   // length of one text
	Depth  int   // nesting of brackets, fractions, powers
	Nodes  int   // nodes of one syntax tree
	Digits int   // decimal digits of one number as written
	Bits   int   // bits of one numerator or denominator met on the way
	Terms  int   // terms of one polynomial
	Degree int   // total degree of one polynomial, at most 255
	Work   int64 // units of work, see Costs
}

// Default suits one line of a pupil's answer: a hostile line ends within a
// few milliseconds.
func Default() Limits {
	return Limits{
		Bytes: 4000, Depth: 60, Nodes: 4000, Digits: 60, Bits: 4096,
		Terms: 20000, Degree: 128, Work: 3_000_000,
	}
}

// Meter counts the work spent on one question against its limits. A Meter is
// for one goroutine. The zero Meter is exhausted; use New.
type Meter struct {
	Limits Limits
	left   int64
	why    string
	parent *Meter
}

// New is a fresh meter with these limits.
func New(l Limits) *Meter { return &Meter{Limits: l, left: l.Work} }

// Part is a meter for one procedure: it has at most work units of what m has
// left, and what it spends is spent on m as well. Its exhaustion leaves m
// usable.
func (m *Meter) Part(work int64) *Meter {
	return &Meter{Limits: m.Limits, left: min(work, m.left), why: m.why, parent: m}
}

// Spend takes n units and reports whether the work may go on.
func (m *Meter) Spend(n int64) bool {
	if m.left < n {
		m.left = 0
		if m.why == "" {
			m.why = "work"
		}
		return false
	}
	m.left -= n
	if m.parent != nil {
		m.parent.Spend(n)
	}
	return m.why == ""
}

// Exceed marks the meter exhausted because an object outgrew the named limit
// ("degree", "terms", "bits").
func (m *Meter) Exceed(limit string) {
	if m.why == "" {
		m.why = limit
	}
	m.left = 0
}

// Exhausted reports that a limit was met: what was computed since means
// nothing.
func (m *Meter) Exhausted() bool { return m.why != "" || m.left <= 0 }

// Left is the number of units still unspent.
func (m *Meter) Left() int64 { return m.left }

// Err says which limit was met, or nil.
func (m *Meter) Err() error {
	if !m.Exhausted() {
		return nil
	}
	why := m.why
	if why == "" {
		why = "work"
	}
	return &ExhaustedError{Limit: why}
}

// ExhaustedError tells that a question was given up, not that it is false.
type ExhaustedError struct{ Limit string }

// Error names the limit.
func (e *ExhaustedError) Error() string {
	return fmt.Sprintf("the limit on %s was reached", e.Limit)
}
