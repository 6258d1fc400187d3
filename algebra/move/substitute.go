package move

import (
	"squaremark/algebra/poly"
)

// substituteEquation replaces an expression by what an equation says it
// equals. A given equation may be used both ways, an earlier line downwards.
// Source: elementary.
var substituteEquation = Move{
	ID: "substitute-equation", Title: "Substitute an equation", Family: Using, Since: "0.1.0", Source: "elementary",
	Text: "An expression is replaced by an equal one, by a given or an earlier line.",
	Try: func(p *Pair) Result {
		return p.substituted(func(poly.Poly) bool { return true })
	},
}

// substituteValue puts in the value found for a variable.
// Source: elementary.
var substituteValue = Move{
	ID: "substitute-value", Title: "Put in a value", Family: Using, Since: "0.1.0", Source: "elementary",
	Text: "A variable is replaced by the number that it was found to be.",
	Try: func(p *Pair) Result {
		return p.substituted(func(e poly.Poly) bool {
			_, one := p.Ring.OnlyVar(e)
			return one && e.Degree() == 1
		})
	},
}

// equation is an equation that may be used, with the line it stands in.
type equation struct {
	f     poly.Poly
	index int
}

// maxEquations bounds the equations that are tried.
const maxEquations = 8

// equations lists the givens that are equations, and with earlier also those
// in the line before and in earlier lines.
func (p *Pair) equations(earlier bool) []equation {
	var list []equation
	add := func(l *Line, index int) {
		kids := []*Line{l}
		if l.Shape == Both {
			kids = l.Kids
		}
		for _, k := range kids {
			if k.Shape == Single && k.Atom.Sign == poly.Eq && len(list) < maxEquations && k.Atom.Diff.Num.Degree() > 0 {
				list = append(list, equation{k.Atom.Diff.Num, index})
			}
		}
	}
	for _, g := range p.lines {
		add(g, Given)
	}
	if earlier {
		for i := len(p.Earlier) - 1; i >= 0; i-- {
			add(p.Earlier[i].Line, p.Earlier[i].Index)
		}
		add(p.From, p.Index)
	}
	return list
}

// substituted looks for an equation modulo which the two lines are the same.
func (p *Pair) substituted(allowed func(poly.Poly) bool) Result {
	if p.To.Shape != Single {
		return refused(CodeShape)
	}
	r := refused(CodeUnequal)
	given := p.equations(false)
	if p.From.Shape == Single {
		for _, e := range p.bases(given, allowed) {
			if x := p.modulo(p.From.Atom, e.basis); x.found() {
				x.Forward.Uses = union([]int{p.Index}, e.uses)
				r.Forward, r.Backward = r.Forward.better(x.Forward), r.Backward.better(x.Backward)
			}
		}
	}
	if r.Forward.Status == Proved {
		return r
	}
	all := p.equations(true)
	for _, l := range p.starts() {
		for _, e := range p.bases(all, allowed) {
			if x := p.modulo(l.Line.Atom, e.basis); x.Forward.Status == Proved {
				x.Forward.Uses = union([]int{l.Index}, e.uses)
				r.Forward = r.Forward.better(x.Forward)
				return r
			}
		}
	}
	return r
}

// starts lists the single relations from which a substitution may start: the
// line before, its parts, and earlier lines.
func (p *Pair) starts() []Earlier {
	var list []Earlier
	add := func(l *Line, index int) {
		switch l.Shape {
		case Single:
			list = append(list, Earlier{l, index})
		case Both:
			for _, k := range l.Kids {
				if k.Shape == Single {
					list = append(list, Earlier{k, index})
				}
			}
		}
	}
	add(p.From, p.Index)
	for i := len(p.Earlier) - 1; i >= 0 && len(list) < maxHypotheses; i-- {
		add(p.Earlier[i].Line, p.Earlier[i].Index)
	}
	for _, g := range p.lines {
		if len(list) < maxHypotheses {
			add(g, Given)
		}
	}
	return list
}

type basis struct {
	basis []poly.Poly
	uses  []int
}

// bases lists each allowed equation by itself, and all of them together.
func (p *Pair) bases(list []equation, allowed func(poly.Poly) bool) []basis {
	var out []basis
	var all basis
	for _, e := range list {
		if !allowed(e.f) {
			continue
		}
		out = append(out, basis{[]poly.Poly{e.f}, []int{e.index}})
		all.basis, all.uses = append(all.basis, e.f), union(all.uses, []int{e.index})
	}
	if len(all.basis) > 1 {
		out = append(out, all)
	}
	return out
}

// modulo compares a relation with To after division by equations that hold.
func (p *Pair) modulo(a *Atom, equations []poly.Poly) Result {
	b := p.To.Atom
	x, y := a.Diff.Num, b.Diff.Num
	if !p.Ring.Equal(a.Diff.Den, b.Diff.Den) {
		x, y = p.Ring.Mul(x, b.Diff.Den), p.Ring.Mul(y, a.Diff.Den)
	}
	if p.Ring.Equal(x, y) {
		return Result{}
	}
	_, u := p.Ring.Reduce(x, equations)
	_, v := p.Ring.Reduce(y, equations)
	if p.Ring.Equal(u, x) && p.Ring.Equal(v, y) {
		return Result{}
	}
	if u.IsZero() && v.IsZero() && (!a.Sign.Holds(0) || !b.Sign.Holds(0)) {
		return Result{}
	}
	c, ok := p.ratio(u, v)
	if !ok || p.Ring.Meter().Exhausted() {
		return Result{}
	}
	var r Result
	from := p.lineOf(nil, a)
	if passes(a.Sign, b.Sign, c.Sign()) {
		r.Forward = proved.both(p.defined(from, b))
	}
	if passes(b.Sign, a.Sign, c.Sign()) {
		r.Backward = proved.both(p.defined(p.To, a))
	}
	return r
}
