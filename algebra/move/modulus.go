package move

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// modulusBounds passes between a bound on a modulus and the bounds on what
// stands in it: |t| < c is -c < t < c. Source: elementary.
var modulusBounds = Move{
	ID: "modulus-bounds", Title: "Resolve a modulus", Family: Solving, Since: "0.1.0", Source: "elementary",
	Text: "|t| <= c is -c <= t <= c, |t| >= c is t <= -c or t >= c, |t| = c is t = c or t = -c.",
	Try: func(p *Pair) Result {
		if r := p.unfold(p.From, p.To); r.Code != CodeShape {
			return r
		}
		return p.unfold(p.To, p.From).turned()
	},
}

// unfold compares a relation between one modulus and a number with a line
// about what stands in the modulus.
func (p *Pair) unfold(with, without *Line) Result {
	if with.Shape != Single {
		return refused(CodeShape)
	}
	f, ok := p.polynomial(with.Atom.Diff)
	if !ok || f.Degree() != 1 {
		return refused(CodeShape)
	}
	v, ok := p.Ring.OnlyVar(f)
	if !ok {
		return refused(CodeShape)
	}
	for _, y := range p.Symbols {
		if y.Var != v || y.Abs == nil {
			continue
		}
		inner, ok := p.polynomial(*y.Abs)
		if !ok {
			return refused(CodeShape)
		}
		q, ok := p.solvedFor(without)
		if !ok {
			return refused(CodeShape)
		}
		t, ok := p.inPowersOf(inner, q)
		if !ok {
			return refused(CodeShape)
		}
		cs := p.Ring.Coeffs(f, v)
		if len(cs) != 2 {
			return refused(CodeShape) // the meter has run out
		}
		slope, _ := cs[1].IsConst()
		at, _ := cs[0].IsConst()
		branch := func(rel poly.Rel, turn int64) *formula.Formula {
			value := q.ring.Add(q.ring.Scale(t, slope.Mul(number.Int(turn))), q.ring.Const(at))
			return formula.And(
				formula.Condition(poly.Condition{P: t, Rel: rel}),
				formula.Condition(poly.Condition{P: value, Rel: with.Atom.Sign}))
		}
		one := formula.Or(branch(poly.Ge, 1), branch(poly.Lt, -1))
		other, ok := p.express(without, q)
		if !ok {
			return refused(CodeShape)
		}
		var r Result
		if q.follows(one, other) {
			r.Forward = proved
		}
		if q.follows(other, one) {
			r.Backward = proved
		}
		if !r.found() {
			r.Code = CodeUnequal
		}
		return r
	}
	return refused(CodeShape)
}
