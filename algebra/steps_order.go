package algebra

import (
	"squaremark/algebra/move"
	"squaremark/algebra/syntax"
)

// begin settles where the argument starts and which line is judged from which.
func (c *chain) begin(start Start) {
	first, last := c.end(0, 1), c.end(len(c.lines)-1, -1)
	firstIsClaim := first != nil && !first.line.Chain && c.isClaim(first)
	switch start {
	case StartClaim:
	case StartFact:
		c.fact = true
	default:
		c.fact = !firstIsClaim && first != nil && first.link == syntax.NoLink && c.startsAtFact(first, last)
	}
	c.same = !c.fact && firstIsClaim && first.link == syntax.NoLink
	from := c.claim
	if c.fact {
		from = nil
	}
	for _, w := range c.lines {
		if w.opening {
			continue
		}
		if w == first && (c.same || c.fact) {
			from = w
			continue
		}
		s := link{from: from, to: w, claimed: w.link, silent: w.link == syntax.NoLink}
		if s.silent {
			s.claimed = syntax.TwoWay
			if c.fact {
				s.claimed = syntax.Forward
			}
		}
		c.steps = append(c.steps, s)
		if w.readable() && w.name == "" {
			from = w
		}
	}
}

// end is the first line from i on, in the given direction, that is a formula
// to be judged.
func (c *chain) end(i, by int) *written {
	for ; i >= 0 && i < len(c.lines); i += by {
		if w := c.lines[i]; w.readable() && w.name == "" {
			return w
		}
	}
	return nil
}

// startsAtFact tells a chain down from a fact: it ends at the claim, or begins
// with something evident and ends with something that is not.
func (c *chain) startsAtFact(first, last *written) bool {
	if first == last {
		return false
	}
	return c.isClaim(last) || c.evident(first.line) != "" && c.evident(last.line) == ""
}

// isClaim reports that a line is the claim: the same sides, perhaps swapped or
// multiplied out, with the same sign of relation. A line of several relations
// is the claim when it says it from one of its members to another.
func (c *chain) isClaim(w *written) bool {
	return w.readable() && c.setting.SameStatement(w.line, c.claim.line) && !c.meter.Exhausted()
}

// evident says why a line needs no proof, "" when it does, or when the work is
// used up and nothing can be said.
func (c *chain) evident(l *move.Line) string {
	if c.meter.Exhausted() {
		return ""
	}
	word := c.setting.Evident(l)
	if c.meter.Exhausted() {
		return ""
	}
	return word
}

// within reports that every variable of a line occurs in another. A fact that
// is said to follow from such a line must be reached from it; about other
// variables it is a fact of its own.
func within(line, other *syntax.Node) bool {
	names := map[string]bool{}
	var collect func(n *syntax.Node, visit func(string) bool) bool
	collect = func(n *syntax.Node, visit func(string) bool) bool {
		if n.Kind == syntax.Name && !visit(syntax.Plain(n)) {
			return false
		}
		for _, k := range n.Kids {
			if !collect(k, visit) {
				return false
			}
		}
		return true
	}
	collect(other, func(name string) bool { names[name] = true; return true })
	return collect(line, func(name string) bool { return names[name] })
}

// justify looks for the moves of every step.
func (c *chain) justify() {
	var known []move.Earlier // lines that may be used further down
	for i := range c.steps {
		s := &c.steps[i]
		if i == 0 && c.fact && s.from != nil {
			known = append(known, move.Earlier{Line: s.from.line, Index: s.from.index})
		}
		if i == 0 && !c.fact {
			known = append(known, move.Earlier{Line: c.claim.line, Index: c.claim.index})
		}
		if !s.to.readable() || s.from == nil || s.to.name != "" {
			continue
		}
		s.work = c.meter.Part(c.q.limits.Work / stepShare)
		s.local = c.setting.Within(s.work)
		for _, e := range known {
			if e.Line != s.from.line && s.claimed == syntax.Forward {
				s.earlier = append(s.earlier, e)
			}
		}
		s.pair = s.local.Between(s.from.line, s.to.line, s.from.index, s.earlier)
		s.pair.OneWay, s.pair.Back = s.claimed == syntax.Forward, s.claimed == syntax.Backward
		s.pair.Restate = c.fact && s.claimed == syntax.Forward
		s.pair.Fact = s.pair.Restate && (s.silent || !within(s.to.root, s.from.root))
		s.pair.Known = s.pair.Fact && !c.isClaim(s.to)
		s.found = s.pair.Justify()
		if s.work.Exhausted() {
			s.found = move.Justification{} // what was found last may mean nothing
		}
		if s.claimed == syntax.Backward {
			known = nil
		}
		known = append(known, move.Earlier{Line: s.to.line, Index: s.to.index})
	}
}

// spread finds the lines that hold wherever the givens do: evident ones, and
// those to which moves lead from such.
func (c *chain) spread() {
	all := append([]*written{c.claim}, c.lines...)
	at := map[int]*written{}
	for _, w := range all {
		if w.readable() {
			at[w.index] = w
			w.always = w.name != "" || c.evident(w.line) != ""
		}
	}
	usable := func(uses []int) bool {
		for _, k := range uses {
			if w := at[k]; k != move.Given && (w == nil || !w.always) {
				return false
			}
		}
		return true
	}
	if c.same {
		first := c.end(0, 1)
		c.claim.always = c.claim.always || first.always
	}
	for pass := 0; pass < 2; pass++ {
		for i := range c.steps {
			s := &c.steps[i]
			if s.pair == nil {
				continue
			}
			if s.found.Forward.Status == move.Proved && s.from.always && usable(s.found.Forward.Uses) {
				s.to.always = true
			}
		}
		for i := len(c.steps) - 1; i >= 0; i-- {
			s := &c.steps[i]
			if s.pair != nil && s.found.Backward.Status == move.Proved && s.to.always && usable(s.found.Backward.Uses) {
				s.from.always = true
			}
		}
	}
}
