package move

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// integerSquares reads the bound on the square of a whole number as the list
// of the squares up to it: t² ≤ 5 gives t² = 0, 1 or 4. Other terms that are
// not negative may stand beside the square; then the step goes one way.
// Source: elementary.
var integerSquares = Move{
	ID: "integer-squares", Title: "List the squares of whole numbers", Family: Solving, Since: "0.1.0", Source: "elementary",
	Text: "The square of a whole number that is at most a bound is one of 0, 1, 4, 9, ... up to it.", Condition: "the base of the square is a whole number",
	Try: tryIntegerSquares,
}

// maxSquares bounds the length of a list of squares.
const maxSquares = 1000

func tryIntegerSquares(p *Pair) Result {
	if p.From.Shape != Single || len(p.From.Atom.Domain) > 0 || p.From.Atom.Sign == poly.Ne {
		return refused(CodeShape)
	}
	base, values, ok := p.listOfSquares(p.To)
	if !ok || !p.whole(base) {
		return refused(CodeShape)
	}
	bound, strict, exact, ok := p.boundOnSquare(base)
	if !ok {
		return refused(CodeShape)
	}
	has := map[string]bool{}
	within := true
	for _, v := range values {
		has[v.String()] = true
		within = within && (v.Cmp(bound) < 0 || !strict && v.Equal(bound))
	}
	complete := true
	for k := int64(0); complete; k++ {
		square := number.Int(k * k)
		if square.Cmp(bound) > 0 || strict && square.Equal(bound) {
			break
		}
		complete = k < maxSquares && has[square.String()]
	}
	var r Result
	if complete {
		r.Forward = proved
	}
	if within && exact {
		r.Backward = proved
	}
	if !r.found() {
		r.Code = CodeUnequal
	}
	return r
}

// listOfSquares recognises t² = k for one t and one or several numbers k.
func (p *Pair) listOfSquares(l *Line) (base poly.Poly, values []number.Num, ok bool) {
	kids := []*Line{l}
	if l.Shape == Either {
		kids = l.Kids
	}
	var squared poly.Poly
	for i, k := range kids {
		if k.Shape != Single || k.Atom.Sign != poly.Eq || len(k.Atom.Domain) > 0 {
			return base, nil, false
		}
		if i == 0 {
			for _, side := range []*Side{&k.Atom.Left, &k.Atom.Right} {
				if exponent(side.Tree) == 2 {
					if base, ok = p.polynomialOf(side.Tree.Kids[0]); ok {
						squared = p.Ring.Square(base)
					}
				}
			}
		}
		f, isPoly := p.polynomial(k.Atom.Diff)
		if !isPoly || squared.IsZero() {
			return base, nil, false
		}
		v, isNumber := p.Ring.Sub(squared, f).IsConst()
		if !isNumber {
			if v, isNumber = p.Ring.Add(squared, f).IsConst(); !isNumber {
				return base, nil, false
			}
		}
		values = append(values, v)
	}
	return base, values, true
}

// whole reports a polynomial with whole coefficients in integer variables.
func (p *Pair) whole(f poly.Poly) bool {
	for _, v := range p.Ring.Vars(f) {
		if v >= len(p.Vars) || p.Vars[v].Range == formula.Real {
			return false
		}
	}
	ok := true
	p.Ring.Each(f, func(_ []uint8, c number.Num) bool {
		ok = c.IsInteger()
		return ok
	})
	return ok
}

// boundOnSquare reads From as base² at most a number. exact tells that From
// says nothing more.
func (p *Pair) boundOnSquare(base poly.Poly) (bound number.Num, strict, exact, ok bool) {
	a := p.From.Atom
	f, isPoly := p.polynomial(a.Diff)
	if !isPoly {
		return bound, false, false, false
	}
	square := p.Ring.Square(base)
	if c, ok := p.boundFrom(f, square); ok && a.Sign != poly.Eq {
		return c, a.Sign == poly.Gt, true, true
	}
	list, isSum := p.difference(a)
	if !isSum {
		return bound, false, false, false
	}
	for _, turn := range []int64{1, -1} {
		if turn < 0 && a.Sign != poly.Eq {
			break
		}
		if c, ok := p.squareAmong(list, square, number.Int(turn)); ok {
			return c, a.Sign == poly.Gt, false, true
		}
	}
	return bound, false, false, false
}

// boundFrom finds c with f a positive multiple of c - square.
func (p *Pair) boundFrom(f, square poly.Poly) (number.Num, bool) {
	if f.IsZero() {
		return number.Num{}, false
	}
	k, ok := f.LeadCoef().Div(square.LeadCoef())
	if !ok || k.Sign() >= 0 {
		return number.Num{}, false
	}
	inv, _ := k.Neg().Inv()
	return p.Ring.Add(p.Ring.Scale(f, inv), square).IsConst()
}

// squareAmong finds c - k·square - (terms that are not negative) ≥ 0 in a
// written sum, and gives c/k.
func (p *Pair) squareAmong(list []*summand, square poly.Poly, turn number.Num) (number.Num, bool) {
	c, rest := split(list)
	var factor number.Num
	for _, t := range rest {
		f, ok := p.polynomial(p.worth(t))
		if !ok {
			return c, false
		}
		if k, ok := p.ratio(f, square); ok && factor.IsZero() {
			factor = k.Mul(turn).Neg()
			continue
		}
		if !t.sign(p.Setting).times(signOfNumber(turn.Sign())).all(poly.Le) {
			return c, false
		}
	}
	if factor.Sign() <= 0 {
		return c, false
	}
	return c.Mul(turn).Div(factor)
}
