package slip

import (
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// delta is what a slip adds to what was there, and where.
type delta struct {
	slip  *Slip
	by    poly.Poly
	place any
}

// Bounds on one search.
const (
	maxVariants = 40 // trees tried for one slip
	maxDeltas   = 90 // changes that are paired with each other
)

// deltas lists what the slip can add here.
func (c change) deltas(s *Slip, list []delta) []delta {
	add := func(by poly.Poly, place any) {
		if !by.IsZero() && !c.Ring.Meter().Exhausted() {
			list = append(list, delta{s, by, place})
		}
	}
	count := 0
	try := func(n *syntax.Node, make func(*syntax.Node) []*syntax.Node, by func(poly.Poly) poly.Poly) {
		if make == nil {
			return
		}
		variants(n, make, func(whole, at *syntax.Node) bool {
			if p, ok := polynomial(c.Scope, whole); ok {
				add(by(p), at)
			}
			count++
			return count >= maxVariants
		})
	}
	try(c.from, s.forward, func(p poly.Poly) poly.Poly { return c.Ring.Sub(p, c.want) })
	try(c.to, s.undo, func(p poly.Poly) poly.Poly { return c.Ring.Sub(c.got, p) })
	if s.offsets != nil {
		s.offsets(c, add)
	}
	return list
}

// search finds the slip of this kind that makes the change, or two that make
// it together.
func (c change) search(kind string) []*Slip {
	by := c.Ring.Sub(c.got, c.want)
	if by.IsZero() && c.line == nil {
		return nil
	}
	var all []delta
	for _, s := range Catalogue() {
		if !s.ArisesFor(kind) {
			continue
		}
		from := len(all)
		if !c.other && !by.IsZero() {
			all = c.deltas(s, all)
		}
		for _, d := range all[from:] {
			if !c.Ring.Equal(d.by, by) {
				continue
			}
			if !c.strict {
				return []*Slip{s}
			}
			if !s.General {
				return []*Slip{s, &strictness}
			}
		}
		if c.line != nil && s.line != nil && s.line(*c.line) {
			return []*Slip{s}
		}
		if s.answer != nil && !c.other && !c.strict && !by.IsZero() && s.answer(c) {
			return []*Slip{s}
		}
		if s.General {
			all = all[:from]
		}
	}
	if c.strict || c.other || by.IsZero() {
		return nil
	}
	return c.pair(by, all[:min(len(all), maxDeltas)])
}

// pair finds two slips that act in different places.
func (c change) pair(by poly.Poly, all []delta) []*Slip {
	for i, d := range all {
		rest := c.Ring.Sub(by, d.by)
		for _, e := range all[i+1:] {
			if d.slip != e.slip && d.place != e.place && c.Ring.Equal(rest, e.by) {
				return []*Slip{d.slip, e.slip}
			}
		}
	}
	return nil
}
