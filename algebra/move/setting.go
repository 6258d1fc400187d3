package move

import (
	"slices"

	"squaremark/algebra/budget"
	"squaremark/algebra/decide"
	"squaremark/algebra/evidence"
	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
)

// Setting is what every step of a chain shares: the ring, the givens, and what
// has been found to hold under them. A Setting is for one goroutine.
type Setting struct {
	*formula.Scope
	Given       *formula.Formula
	facts       []poly.Condition // the givens that hold one and all
	lines       []*Line          // the givens as lines
	definitions []*Line          // those among lines that introduce a name
	signs       []sign           // of each ring variable, as far as a given says
	known       map[string]bool  // conditions asked before
	sums        *sums
	rules       []rootRule // roots that are products of others
	roots       int        // how many variables and root symbols all steps share
}

// New is the setting for a scope and its givens.
func New(scope *formula.Scope, given *formula.Formula, lines []*Line) *Setting {
	s := &Setting{Scope: scope, Given: given, lines: lines, known: map[string]bool{}}
	s.facts = append(conditions(given), scope.Ranges()...)
	s.signs = make([]sign, scope.Ring.Len())
	for i := range s.signs {
		s.signs[i] = anySign
	}
	for _, c := range s.facts {
		s.learn(c)
	}
	return s
}

// supposing is the setting with further lines among the givens, for a case or
// for the other parts of a line.
func (s *Setting) supposing(lines []*Line) *Setting {
	bodies := make([]*formula.Formula, 0, len(lines)+1)
	bodies = append(bodies, s.Given)
	for _, l := range lines {
		bodies = append(bodies, l.Body)
	}
	out := New(s.Scope, formula.And(bodies...), append(append([]*Line(nil), s.lines...), lines...))
	out.rules, out.definitions, out.roots, out.sums = s.rules, s.definitions, s.roots, s.sums
	return out
}

// NewReader is a setting without givens, for reading lines.
func NewReader(scope *formula.Scope) *Setting { return New(scope, formula.Always(), nil) }

// Within is the setting on another meter, for one step: what it finds out is
// shared.
func (s *Setting) Within(m *budget.Meter) *Setting {
	scope := *s.Scope
	scope.Ring = s.Ring.With(m)
	out := *s
	out.Scope = &scope
	out.roots = len(scope.Vars) + len(scope.Symbols)
	return &out
}

// lasting reports a polynomial that means the same in every step: it has no
// root symbol that one step made for itself.
func (s *Setting) lasting(f poly.Poly) bool {
	vars := s.Ring.Vars(f)
	return len(vars) == 0 || slices.Max(vars) < s.roots
}

// conditions lists what a conjunction says. A disjunction says nothing here.
func conditions(f *formula.Formula) []poly.Condition {
	switch f.Op {
	case formula.Is:
		return []poly.Condition{f.Cond}
	case formula.All:
		var list []poly.Condition
		for _, k := range f.Kids {
			list = append(list, conditions(k)...)
		}
		return list
	}
	return nil
}

// holds reports that a condition follows from the givens and from under,
// which may be nil. A false answer means only that it was not established.
// Cost: often a look at signs; else one question to package decide, asked
// once for each condition.
func (s *Setting) holds(c poly.Condition, under *formula.Formula) bool {
	if v, ok := c.P.IsConst(); ok {
		return c.Rel.Holds(v.Sign())
	}
	if s.signOf(c.P).all(c.Rel) || s.listedFact(s.facts, c) {
		return true
	}
	if under != nil {
		if s.listedFact(conditions(under), c) {
			return true
		}
		if !s.shares(c.P, under) {
			under = nil
		}
	}
	key := ""
	lasting := under == nil && s.lasting(c.P)
	if lasting {
		key = s.Ring.String(c.P) + c.Rel.String()
		if known, ok := s.known[key]; ok {
			return known
		}
	}
	if under == nil && len(s.facts) == 0 && s.Given.Op == formula.True && s.linear(c.P) {
		return false // a linear expression takes every sign
	}
	given := s.Given
	if under != nil {
		given = formula.And(given, under)
	}
	found := s.decided(given, formula.Condition(c))
	if lasting && !s.Ring.Meter().Exhausted() {
		s.known[key] = found
	}
	return found
}

// questionShare is the part of the remaining work that one question to package
// decide may cost, so that what is computed afterwards still means something.
const questionShare = 4

// decided asks package decide whether a formula always holds.
func (s *Setting) decided(given, f *formula.Formula) bool {
	m := s.Ring.Meter()
	if m.Exhausted() {
		return false
	}
	part := s.Within(m.Part(m.Left() / questionShare))
	return decide.Always(part.Scope, given, f).Verdict == evidence.Holds && !part.Ring.Meter().Exhausted()
}

// listedFact reports a condition that is one of a list up to a positive
// factor, or a weaker one.
func (s *Setting) listedFact(list []poly.Condition, c poly.Condition) bool {
	for _, f := range list {
		k, ok := s.ratio(f.P, c.P)
		if !ok || k.IsZero() {
			continue
		}
		rel := f.Rel
		if k.Sign() < 0 {
			rel = rel.Flip()
		}
		if weaker(rel, c.Rel) {
			return true
		}
	}
	return false
}

// weaker reports that p rel 0 gives p other 0.
func weaker(rel, other poly.Rel) bool {
	return rel == other ||
		rel == poly.Eq && (other == poly.Ge || other == poly.Le) ||
		rel == poly.Gt && (other == poly.Ge || other == poly.Ne) ||
		rel == poly.Lt && (other == poly.Le || other == poly.Ne)
}

// shares reports that a formula speaks about a variable of f.
func (s *Setting) shares(f poly.Poly, g *formula.Formula) bool {
	for _, v := range s.Ring.Vars(f) {
		for _, c := range g.Conditions() {
			if s.Ring.DegreeIn(c.P, v) > 0 {
				return true
			}
		}
	}
	return false
}

// linear reports a polynomial of degree one in real variables.
func (s *Setting) linear(f poly.Poly) bool {
	if f.Degree() != 1 {
		return false
	}
	for _, v := range s.Ring.Vars(f) {
		if v >= len(s.Vars) || s.Vars[v].Range != formula.Real {
			return false
		}
	}
	return true
}

// established turns conditions into a way: proved where all of them hold
// under the givens and under, conditional on those that do not otherwise, and
// none where the givens exclude one.
func (s *Setting) established(needs []poly.Condition, under *formula.Formula) Way {
	w := proved
	for _, c := range needs {
		switch {
		case s.holds(c, nil):
		case c.P.Degree() < 1, s.Given.Op != formula.True && s.holds(c.Not(), nil):
			return Way{}
		case under != nil && s.holds(c, under):
		default:
			w.Status = Conditional
			w.Needs = append(w.Needs, c)
		}
	}
	return w
}

// towards is established for a move that leads to a relation: a condition
// that says what the relation says is only taken where it can be read off, for
// to decide it would be to prove the line by itself. What the line before says
// is used where it is linear.
func (s *Setting) towards(to *Atom, needs []poly.Condition, from *Line) Way {
	under := from.Body
	for _, c := range under.Conditions() {
		if c.P.Degree() > 1 {
			under = nil
			break
		}
	}
	w := proved
	for _, c := range needs {
		if s.circular(c.P, to) && !s.signOf(c.P).all(c.Rel) && !s.listedFact(s.facts, c) {
			w.Status = min(w.Status, Conditional)
			w.Needs = append(w.Needs, c)
			continue
		}
		w = w.both(s.established([]poly.Condition{c}, under))
	}
	if w.Status == No {
		return Way{}
	}
	return w
}

// circular reports that the sign of q is what the line to be reached says: to
// establish it by any means would be to prove the line itself.
func (s *Setting) circular(q poly.Poly, to *Atom) bool {
	_, ok := s.Ring.DivExact(q, to.Diff.Num)
	return ok && to.Diff.Num.Degree() > 0
}

// defined is the way that needs to to be defined wherever from holds.
func (s *Setting) defined(from *Line, to *Atom) Way {
	var needs []poly.Condition
	for _, c := range to.Domain {
		if from.Shape == Single && s.listed(from.Atom.Domain, c) {
			continue
		}
		needs = append(needs, c)
	}
	w := s.established(needs, from.Body)
	w.Domain = w.Status == Conditional
	return w
}
