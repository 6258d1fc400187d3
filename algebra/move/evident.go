package move

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// Evidence words: why a line needs no proof.
const (
	EvidentNumber   = "number fact"
	EvidentIdentity = "identity"
	EvidentGiven    = "given"
	EvidentSquare   = "square"
	EvidentSquares  = "sum of squares"
	EvidentSigns    = "known signs"
)

// Evident says why a line needs no proof: squares, sums and positive multiples
// of squares against a number, a number fact, an identity, a given, or terms
// whose signs are given. "" when it does need one.
// Cost: linear in the line, beside its domain conditions.
func (s *Setting) Evident(l *Line) string {
	switch l.Shape {
	case Single:
		return s.evidentAtom(l.Atom)
	case Both:
		word := ""
		for _, k := range l.Kids {
			w := s.Evident(k)
			if w == "" {
				return s.givenLine(l)
			}
			if word == "" || rank(w) > rank(word) {
				word = w
			}
		}
		return word
	case Either:
		for _, k := range l.Kids {
			if w := s.Evident(k); w != "" {
				return w
			}
		}
		return s.givenLine(l)
	}
	return ""
}

// rank orders the words: the most telling one names a line of several parts.
func rank(word string) int {
	for i, w := range []string{EvidentIdentity, EvidentNumber, EvidentGiven, EvidentSigns, EvidentSquare, EvidentSquares} {
		if w == word {
			return i
		}
	}
	return -1
}

func (s *Setting) evidentAtom(a *Atom) string {
	word := s.evidentRelation(a)
	if word == "" {
		return ""
	}
	for _, c := range a.Domain {
		if !s.holds(c, nil) {
			return ""
		}
	}
	return word
}

func (s *Setting) evidentRelation(a *Atom) string {
	if v, ok := constant(a.Diff); ok {
		_, left := constant(a.folded[0])
		_, right := constant(a.folded[1])
		switch {
		case left && right:
			if a.Sign.Holds(v.Sign()) {
				return EvidentNumber
			}
			return ""
		case v.IsZero() && a.Sign.Holds(0):
			return EvidentIdentity
		}
	}
	if a.Diff.Num.IsZero() && a.Sign.Holds(0) {
		return EvidentIdentity // where the denominators are not zero, which the caller asks
	}
	if f, ok := s.polynomial(a.Diff); ok && s.listedFact(s.facts, poly.Condition{P: f, Rel: a.Sign}) {
		return EvidentGiven
	}
	list, ok := s.difference(a)
	if !ok {
		return ""
	}
	c, rest := split(list)
	if !s.boundedSum(c, rest, a.Sign) {
		return ""
	}
	free := s.withoutSigns()
	switch {
	case !free.boundedSum(c, rest, a.Sign) && !squaresWithin(rest):
		return EvidentSigns
	case len(rest) == 1:
		return EvidentSquare
	}
	return EvidentSquares
}

// squaresWithin reports that every term carries a written square: x(y - 1)² with
// x > 0 given is a positive multiple of a square.
func squaresWithin(rest []*summand) bool {
	for _, t := range rest {
		if !squareFactor(t.tree) {
			return false
		}
	}
	return len(rest) > 0
}

func squareFactor(n *syntax.Node) bool {
	switch n.Kind {
	case syntax.Mul:
		return square(n) || squareFactor(n.Kids[0]) || squareFactor(n.Kids[1])
	case syntax.Div:
		return squareFactor(n.Kids[0])
	}
	return square(n)
}

// boundedSum reports that a number plus summands, each of which shows its
// sign, stands in the relation to zero.
func (s *Setting) boundedSum(c number.Num, rest []*summand, rel poly.Rel) bool {
	total := zero
	for _, t := range rest {
		total = total.plus(t.sign(s))
		if total == anySign {
			return false
		}
	}
	return total.plus(signOfNumber(c.Sign())).all(rel)
}

// givenLine recognises a given that is not a conjunction of conditions.
func (s *Setting) givenLine(l *Line) string {
	for _, g := range s.lines {
		if g.Shape == l.Shape && l.Tree != nil && g.Tree != nil && syntax.Equal(g.Tree, l.Tree) {
			return EvidentGiven
		}
	}
	return ""
}

// evidentlyFalse reports a line that can hold nowhere, for the same reasons.
func (s *Setting) evidentlyFalse(l *Line) bool {
	switch l.Shape {
	case Nothing:
		return true
	case Single:
		a := l.Atom
		if v, ok := constant(a.Diff); ok && !a.Sign.Holds(v.Sign()) {
			return true
		}
		list, ok := s.difference(a)
		if !ok {
			return false
		}
		c, rest := split(list)
		return s.boundedSum(c, rest, a.Sign.Not())
	case Both:
		for _, k := range l.Kids {
			if s.evidentlyFalse(k) {
				return true
			}
		}
	case Either:
		for _, k := range l.Kids {
			if !s.evidentlyFalse(k) {
				return false
			}
		}
		return true
	}
	return l.Body.Op == formula.False
}
