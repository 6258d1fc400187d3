package move

import "squaremark/algebra/poly"

// zeroProduct splits a product that is zero: one of its factors is. A product
// is not zero when no factor is. Source: elementary.
var zeroProduct = Move{
	ID: "zero-product", Title: "A product is zero when a factor is", Family: Solving, Since: "0.1.0", Source: "elementary",
	Text: "a*b = 0 turns into a = 0 or b = 0, and a*b != 0 into a != 0 and b != 0.",
	Try: func(p *Pair) Result {
		return p.product()
	},
}

// product divides the difference of From by those of the relations in To
// until a number, or a quantity that cannot be zero, is left.
func (p *Pair) product() Result {
	if p.From.Shape != Single || p.From.Atom.Diff.Num.Degree() < 1 {
		return refused(CodeShape)
	}
	a := p.From.Atom
	kids, join := []*Line{p.To}, Either
	if p.To.Shape == Both || p.To.Shape == Either {
		kids, join = p.To.Kids, p.To.Shape
	}
	switch {
	case a.Sign == poly.Eq && join == Either, a.Sign == poly.Ne && (join == Both || len(kids) == 1):
	default:
		return refused(CodeShape)
	}
	rest := a.Diff.Num
	var whole []poly.Poly
	for _, k := range kids {
		if k.Shape != Single || k.Atom.Sign != a.Sign || len(k.Atom.Domain) > 0 || k.Atom.Diff.Num.Degree() < 1 {
			return refused(CodeShape)
		}
		f := k.Atom.Diff.Num
		whole = append(whole, f)
		for {
			q, ok := p.Ring.DivExact(rest, f)
			if !ok {
				break
			}
			rest = q
		}
	}
	all := true // every factor of To divides the difference
	for _, f := range whole {
		if _, ok := p.Ring.DivExact(a.Diff.Num, f); !ok {
			all = false
		}
	}
	if p.Ring.Equal(rest, a.Diff.Num) {
		return refused(CodeUnequal)
	}
	var r Result
	need := poly.Condition{P: rest, Rel: poly.Ne}
	some, every := &r.Forward, &r.Backward
	if a.Sign == poly.Ne {
		some, every = every, some
	}
	if p.holds(need, nil) {
		*some = proved
	}
	if all {
		*every = proved
	}
	if r.Backward.Status == Proved {
		r.Backward = r.Backward.both(p.defined(p.To, a))
	}
	if !r.found() {
		r.Code = CodeUnequal
	}
	return r
}
