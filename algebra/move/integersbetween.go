package move

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
)

// integersBetween rounds bounds on a whole number to whole numbers, lists what
// lies between them, or gives the bounds that a list fills.
// Source: elementary.
var integersBetween = Move{
	ID: "integers-between", Title: "Whole numbers between bounds", Family: Solving, Since: "0.1.0", Source: "elementary",
	Text: "-1 <= n <= 2 says n = -1, 0, 1 or 2, and n^2 <= 10 says -3 <= n <= 3.", Condition: "the variable is a whole number",
	Try: func(p *Pair) Result {
		if onlyEquations(p.From) && onlyEquations(p.To) {
			return refused(CodeShape)
		}
		v, ok := p.onlyWhole(p.From, p.To)
		if !ok {
			return refused(CodeShape)
		}
		return p.wholeValues(v)
	},
}

// onlyEquations reports a line without an inequality.
func onlyEquations(l *Line) bool {
	if l.Shape == Single {
		return l.Atom.Sign == poly.Eq
	}
	for _, k := range l.Kids {
		if !onlyEquations(k) {
			return false
		}
	}
	return l.Shape == Both || l.Shape == Either
}

// onlyWhole is the one variable that two lines speak about, if it is a whole
// number.
func (p *Pair) onlyWhole(lines ...*Line) (int, bool) {
	at := -1
	for _, l := range lines {
		for _, c := range l.Body.Conditions() {
			for _, v := range p.Ring.Vars(c.P) {
				inner := v >= len(p.Vars) && p.modulus(v)
				if !inner && (at >= 0 && at != v || v >= len(p.Vars) || p.Vars[v].Range == formula.Real) {
					return 0, false
				}
				if !inner {
					at = v
				}
			}
		}
	}
	return at, at >= 0
}

// modulus reports the symbol of a modulus.
func (s *Setting) modulus(v int) bool {
	for _, y := range s.Symbols {
		if y.Var == v {
			return y.Abs != nil
		}
	}
	return false
}

// wholeValues compares two lines about one whole number. A line that is solved
// for it may say less than the other; else both must say the same.
func (p *Pair) wholeValues(v int) Result {
	t := p.Ring.Var(v)
	q := p.quantityOf(t)
	one, okOne := p.express(p.From, q)
	other, okOther := p.express(p.To, q)
	if !okOne || !okOther || q.follows(formula.Always(), one) || q.follows(formula.Always(), other) {
		return refused(CodeShape)
	}
	var r Result
	if q.follows(one, other) {
		r.Forward = proved
	}
	if q.follows(other, one) {
		r.Backward = proved
	}
	from, okFrom := p.solvedFor(p.From)
	to, okTo := p.solvedFor(p.To)
	simple := okFrom && okTo && p.Ring.Equal(from.t, t) && p.Ring.Equal(to.t, t)
	if !r.reversible() && !simple || !r.found() {
		return refused(CodeUnequal)
	}
	return r
}
