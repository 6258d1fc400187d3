package move

import "squaremark/algebra/poly"

// squareNonNegative brings in the fact that a square is not negative, as a line
// of its own. Source: elementary.
var squareNonNegative = Move{
	ID: "square-non-negative", Title: "A square is not negative", Family: Facts, Since: "0.1.0", Source: "elementary",
	Text: "a^2 >= 0 as a fact of its own in an argument that starts at facts; multiplied out and rearranged only where it is neither the claim nor said to follow from a line about the same variables.",
	Try: func(p *Pair) Result {
		if p.Known && p.Evident(p.To) == "" && p.perfectSquare(p.To) {
			return p.newFact()
		}
		return p.fact(EvidentSquare)
	},
}

// perfectSquare reports a relation that says that a multiple of a square is
// not negative, however it is written.
func (s *Setting) perfectSquare(l *Line) bool {
	if l.Shape != Single || l.Atom.Sign != poly.Ge {
		return false
	}
	for _, c := range l.Atom.Domain {
		if !s.holds(c, nil) {
			return false
		}
	}
	f, ok := s.polynomial(l.Atom.Diff)
	if !ok {
		return false
	}
	if f, ok = s.squaredAgain(f); !ok {
		return false
	}
	if f.Degree() < 2 || f.LeadCoef().Sign() < 0 {
		return false
	}
	for _, g := range s.Ring.SquareFree(f) {
		if g.Mult%2 == 1 {
			return false
		}
	}
	return true
}

// squaredAgain replaces p - k·√a, where p and k are not negative, by p² - k²a:
// one is not negative when the other is.
func (s *Setting) squaredAgain(f poly.Poly) (poly.Poly, bool) {
	for _, y := range s.Symbols {
		if s.Ring.DegreeIn(f, y.Var) != 1 {
			continue
		}
		cs := s.Ring.Coeffs(f, y.Var)
		if len(cs) != 2 || y.Power != 2 || y.Of.Den.Degree() > 0 || !s.holds(poly.Condition{P: cs[0], Rel: poly.Ge}, nil) {
			return f, false
		}
		of, _ := s.polynomial(y.Of)
		return s.Ring.Sub(s.Ring.Square(cs[0]), s.Ring.Mul(s.Ring.Square(cs[1]), of)), true
	}
	return f, true
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
