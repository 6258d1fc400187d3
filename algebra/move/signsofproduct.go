package move

import "squaremark/algebra/poly"

// signsOfProduct passes between the sign of a product and the signs of its
// factors: a·b > 0 when both are positive or both are negative.
// Source: elementary.
var signsOfProduct = Move{
	ID: "signs-of-product", Title: "Sign of a product by cases", Family: Solving, Since: "0.1.0", Source: "elementary",
	Text: "The sign of a product is given by the signs of its factors, by cases where needed.",
	Try: func(p *Pair) Result {
		cases := p.signTable(p.From, p.To)
		if cases.reversible() {
			return cases
		}
		if r := p.signTable(p.To, p.From).turned(); r.Code != CodeShape {
			return r
		}
		if cases.found() {
			return refused(CodeOneWay) // a case is missing, or one too many
		}
		return cases
	},
}

// maxFactors bounds the factors of a sign table.
const maxFactors = 4

// signTable compares a product with a line about its factors, each factor
// standing for a number of its own.
func (p *Pair) signTable(product, cases *Line) Result {
	if product.Shape != Single || cases.Shape != Both && cases.Shape != Either || len(product.Atom.Domain) > 0 {
		return refused(CodeShape)
	}
	f, ok := p.polynomial(product.Atom.Diff)
	if !ok || f.Degree() < 1 {
		return refused(CodeShape)
	}
	t := &table{p: p}
	body, ok := t.express(cases)
	if !ok || len(t.factors) < 2 {
		return refused(CodeShape)
	}
	powers := make([]int64, len(t.factors))
	for i, g := range t.factors {
		for {
			q, ok := p.Ring.DivExact(f, g)
			if !ok {
				break
			}
			f = q
			powers[i]++
		}
	}
	total := int64(0)
	for _, k := range powers {
		total += k
	}
	c, ok := f.IsConst()
	if !ok || c.IsZero() || total < 2 {
		return refused(CodeUnequal)
	}
	r := bothWays
	signs := make([]sign, len(t.factors))
	t.everySign(signs, 0, func() {
		total := signOfNumber(c.Sign())
		for i, k := range signs {
			if powers[i] > 0 {
				total = total.times(k.power(powers[i]))
			}
		}
		switch one, other := total.all(product.Atom.Sign), body(signs); {
		case one && !other:
			r.Forward = Way{}
		case other && !one:
			r.Backward = Way{}
		}
	})
	if !r.found() {
		return refused(CodeUnequal)
	}
	return r
}

// table gathers the factors that a line compares with zero.
type table struct {
	p       *Pair
	factors []poly.Poly
}

// everySign goes through all signs of the factors.
func (t *table) everySign(signs []sign, i int, visit func()) {
	if i == len(signs) {
		visit()
		return
	}
	for _, k := range [...]sign{negative, zero, positive} {
		signs[i] = k
		t.everySign(signs, i+1, visit)
	}
}

// express gives the line as a statement about the signs of its factors.
func (t *table) express(l *Line) (func([]sign) bool, bool) {
	if l.Shape == Single {
		f, ok := t.p.polynomial(l.Atom.Diff)
		if !ok || len(l.Atom.Domain) > 0 || f.Degree() < 1 {
			return nil, false
		}
		at := -1
		rel := l.Atom.Sign
		for i, g := range t.factors {
			if k, ok := t.p.ratio(f, g); ok {
				at = i
				if k.Sign() < 0 {
					rel = rel.Flip()
				}
			}
		}
		if at < 0 {
			if len(t.factors) == maxFactors {
				return nil, false
			}
			at = len(t.factors)
			t.factors = append(t.factors, f)
		}
		return func(signs []sign) bool { return signs[at].all(rel) }, true
	}
	if l.Shape != Both && l.Shape != Either {
		return nil, false
	}
	var kids []func([]sign) bool
	for _, k := range l.Kids {
		f, ok := t.express(k)
		if !ok {
			return nil, false
		}
		kids = append(kids, f)
	}
	return func(signs []sign) bool {
		for _, k := range kids {
			if k(signs) != (l.Shape == Both) {
				return l.Shape == Either
			}
		}
		return l.Shape == Both
	}, true
}
