package move

import "squaremark/algebra/poly"

// squareNonNegative brings in the fact that a square is not negative, as a line
// of its own. Source: elementary.
var squareNonNegative = Move{
	ID: "square-non-negative", Title: "A square is not negative", Family: Facts, Since: "0.1.0", Source: "elementary",
	Text: "a^2 >= 0, also multiplied out and rearranged, as a fact of its own in an argument that starts at facts.",
	Try: func(p *Pair) Result {
		if p.Evident(p.To) == "" && p.perfectSquare(p.To) {
			return p.newFact()
		}
		return p.fact(EvidentSquare)
	},
}

// perfectSquare reports a relation that says that a multiple of a square is
// not negative, however it is written.
func (s *Setting) perfectSquare(l *Line) bool {
	if l.Shape != Single || l.Atom.Sign != poly.Ge || len(l.Atom.Domain) > 0 {
		return false
	}
	f, ok := s.polynomial(l.Atom.Diff)
	if !ok || f.Degree() < 2 || f.LeadCoef().Sign() < 0 {
		return false
	}
	for _, g := range s.Ring.SquareFree(f) {
		if g.Mult%2 == 1 {
			return false
		}
	}
	return true
}

// fact is the result of a line that stands by itself for the given reason, in
// an argument that starts at facts. From the claim nothing leads there.
func (p *Pair) fact(word string) Result {
	if p.Evident(p.To) != word {
		return refused(CodeShape)
	}
	return p.newFact()
}

func (p *Pair) newFact() Result {
	if !p.Fact {
		return refused(CodeUnequal)
	}
	return Result{Forward: Way{Status: Proved, Plain: true, Uses: []int{Given}}}
}
