package move

import (
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// squaresSumZero splits a sum of squares that is zero (or not positive):
// every one of them is zero. Source: elementary.
var squaresSumZero = Move{
	ID: "squares-sum-zero", Title: "A sum of squares is zero when each is", Family: Solving, Since: "0.1.0", Source: "elementary",
	Text: "a^2 + b^2 = 0 turns into a = 0 and b = 0.",
	Try:  trySquaresSumZero,
}

func trySquaresSumZero(p *Pair) Result {
	if p.From.Shape != Single || p.From.Atom.Sign == poly.Ne || p.From.Atom.Sign == poly.Gt || len(p.From.Atom.Domain) > 0 {
		return refused(CodeShape)
	}
	bases, ok := p.basesOfSquares(p.From.Atom)
	if !ok {
		return refused(CodeShape)
	}
	kids := []*Line{p.To}
	if p.To.Shape == Both {
		kids = p.To.Kids
	}
	var ends []poly.Poly
	for _, k := range kids {
		if k.Shape != Single || k.Atom.Sign != poly.Eq || len(k.Atom.Domain) > 0 {
			return refused(CodeShape)
		}
		f, ok := p.polynomial(k.Atom.Diff)
		if !ok {
			return refused(CodeShape)
		}
		ends = append(ends, f)
	}
	var r Result
	if p.spannedBy(ends, bases) {
		r.Forward = proved
	}
	if p.spannedBy(bases, ends) {
		r.Backward = proved
	}
	if !r.found() {
		r.Code = CodeUnequal
	}
	return r
}

// basesOfSquares lists the expressions whose squares, with factors of one
// sign, make up a difference that is said not to be positive (or to be zero).
func (s *Setting) basesOfSquares(a *Atom) ([]poly.Poly, bool) {
	list, ok := s.difference(a)
	if !ok {
		return nil, false
	}
	c, rest := split(list)
	if !c.IsZero() || len(rest) == 0 {
		return nil, false
	}
	want := -1
	if a.Sign == poly.Eq {
		want = rest[0].factor.Sign()
	}
	var bases []poly.Poly
	for _, t := range rest {
		if t.factor.Sign() != want || exponent(t.tree)%2 != 0 || exponent(t.tree) == 0 {
			return nil, false
		}
		f, ok := s.polynomialOf(t.tree.Kids[0])
		if !ok {
			return nil, false
		}
		bases = append(bases, f)
	}
	return bases, true
}

func (s *Setting) polynomialOf(n *syntax.Node) (poly.Poly, bool) {
	t, err := s.Expression(n)
	if err != nil || len(t.Domain) > 0 {
		return poly.Poly{}, false
	}
	return s.polynomial(s.fold(t.Fraction))
}

// spannedBy reports that each of fs is a sum of multiples of gs by numbers.
func (p *Pair) spannedBy(fs, gs []poly.Poly) bool {
	hyps := make([]hypothesis, len(gs))
	for i, g := range gs {
		hyps[i].diff = g
	}
	for _, f := range fs {
		if _, ok := p.solve(f, hyps, false); !ok {
			return false
		}
	}
	return true
}
