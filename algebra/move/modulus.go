package move

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
		q, ok := p.solvedFor(without)
		if !ok {
			return refused(CodeShape)
		}
		one, okOne := p.withModulus(with.Atom, q)
		other, okOther := p.express(without, q)
		if !okOne || !okOther {
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
