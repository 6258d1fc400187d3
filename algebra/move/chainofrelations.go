package move

import (
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// chainOfRelations reads a line a = b ≥ c > d from end to end: it says a > d.
// The line itself is judged link by link: each is an identity, evident, or
// leads on from what is known. Source: the order of numbers is transitive.
var chainOfRelations = Move{
	ID: "chain-of-relations", Title: "Several relations in one line", Family: Using, Since: "0.1.0", Source: "the order of numbers is transitive",
	Text: "a = b >= c > d in one line gives a > d, and a relation between any two of its members.",
	Try: func(p *Pair) Result {
		var r Result
		if p.To.Chain && p.From.Shape == Single {
			if p.insideChain(p.To, p.From, false) {
				r.Backward = proved
			}
			if p.Evident(p.To) != "" && (p.Fact || r.Backward.Status == Proved) {
				r.Forward = proved
			}
		}
		if p.From.Chain && p.To.Shape == Single && p.insideChain(p.From, p.To, false) {
			r.Forward = proved
		}
		if !r.found() {
			r.Code = CodeShape
		}
		return r
	},
}

// insideChain reports that a chain of relations says what a single relation
// says, between two of its members; exact: with the same sides.
func (p *Pair) insideChain(chain, single *Line, exact bool) bool {
	kids := chain.Tree.Kids
	for i := range chain.Kids {
		rel := poly.Eq
		for j := i; j < len(chain.Kids); j++ {
			var ok bool
			if rel, ok = through(rel, chain.Kids[j].Atom.Rel); !ok {
				break
			}
			l, err := p.single(kids[i], kids[j+1], rel)
			if err != nil {
				return false
			}
			q := p.Between(l, single, p.Index, nil)
			if r, _ := q.rewriting(); r.Forward.Status == Proved && (!exact || r.reversible() && q.sideEqual()) {
				return true
			}
		}
	}
	return false
}

// through is the relation of a to c when a rel b and b next c.
func through(rel, next poly.Rel) (poly.Rel, bool) {
	switch {
	case next == poly.Ne || rel == poly.Ne:
		return 0, false
	case rel == poly.Eq:
		return next, true
	case next == poly.Eq || next == rel:
		return rel, true
	}
	up := func(r poly.Rel) bool { return r == poly.Gt || r == poly.Ge }
	if up(rel) != up(next) {
		return 0, false
	}
	if up(rel) {
		return poly.Gt, true
	}
	return poly.Lt, true
}

// SameStatement reports that two lines say the same without a step between
// them: the same sides, multiplied out or swapped, and the same sign of
// relation. A chain of relations says what any two of its members stand in.
func (s *Setting) SameStatement(a, b *Line) bool {
	switch {
	case a.Shape == Single && b.Shape == Single:
		p := s.Between(a, b, Claim, nil)
		r, _ := p.rewriting()
		return r.reversible() && p.sideEqual() && a.Atom.Sign == b.Atom.Sign && p.alike()
	case a.Chain && b.Shape == Single:
		return s.Between(a, b, Claim, nil).insideChain(a, b, true)
	case a.Shape == b.Shape && (a.Shape == Both || a.Shape == Either) && len(a.Kids) == len(b.Kids):
		for i := range a.Kids {
			if !s.SameStatement(a.Kids[i], b.Kids[i]) {
				return false
			}
		}
		return true
	case a.Shape == Nothing && b.Shape == Nothing:
		return true
	}
	return a.Shape == Opaque && b.Shape == Opaque && a.Tree != nil && b.Tree != nil && syntax.Equal(a.Tree, b.Tree)
}
