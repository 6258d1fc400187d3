package move

import (
	"strconv"

	"squaremark/algebra/decide"
	"squaremark/algebra/evidence"
	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
)

// signsOfProduct passes between the sign of a product and the signs of its
// factors: a·b > 0 when both are positive or both are negative.
// Source: elementary.
var signsOfProduct = Move{
	ID: "signs-of-product", Title: "Sign of a product by cases", Family: Solving, Since: "0.1.0", Source: "elementary",
	Text: "The sign of a product is given by the signs of its factors, by cases where needed.",
	Try: func(p *Pair) Result {
		if r := p.signTable(p.From, p.To); r.found() {
			return r
		}
		return p.signTable(p.To, p.From).turned()
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
	if !ok {
		return refused(CodeShape)
	}
	t := &table{p: p}
	body, ok := t.express(cases)
	if !ok || len(t.factors) < 2 {
		return refused(CodeShape)
	}
	ring := poly.NewRing([]string{"u1", "u2", "u3", "u4"}[:len(t.factors)], p.Ring.Meter())
	image := ring.Int(1)
	for i, g := range t.factors {
		for {
			q, ok := p.Ring.DivExact(f, g)
			if !ok || image.Degree() > maxPower {
				break
			}
			f, image = q, ring.Mul(image, ring.Var(i))
		}
	}
	c, ok := f.IsConst()
	if !ok || c.IsZero() {
		return refused(CodeUnequal)
	}
	scope := &formula.Scope{Ring: ring}
	for i := range t.factors {
		scope.Vars = append(scope.Vars, formula.Variable{Name: "u" + strconv.Itoa(i+1)})
	}
	one := formula.Condition(poly.Condition{P: ring.Scale(image, c), Rel: product.Atom.Sign})
	other := body(ring)
	var r Result
	if decide.Always(scope, one, other).Verdict == evidence.Holds {
		r.Forward = proved
	}
	if decide.Always(scope, other, one).Verdict == evidence.Holds {
		r.Backward = proved
	}
	if !r.found() || p.Ring.Meter().Exhausted() {
		return refused(CodeUnequal)
	}
	return r
}

// table gathers the factors that a line compares with zero.
type table struct {
	p       *Pair
	factors []poly.Poly
}

// express gives the line as a formula about its factors, once there is a ring
// for them.
func (t *table) express(l *Line) (func(*poly.Ring) *formula.Formula, bool) {
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
		return func(r *poly.Ring) *formula.Formula {
			return formula.Condition(poly.Condition{P: r.Var(at), Rel: rel})
		}, true
	}
	if l.Shape != Both && l.Shape != Either {
		return nil, false
	}
	var kids []func(*poly.Ring) *formula.Formula
	for _, k := range l.Kids {
		f, ok := t.express(k)
		if !ok {
			return nil, false
		}
		kids = append(kids, f)
	}
	return func(r *poly.Ring) *formula.Formula {
		fs := make([]*formula.Formula, len(kids))
		for i, k := range kids {
			fs[i] = k(r)
		}
		if l.Shape == Both {
			return formula.And(fs...)
		}
		return formula.Or(fs...)
	}, true
}
