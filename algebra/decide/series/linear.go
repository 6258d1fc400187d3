package series

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// linear proves p ≥ 0, or p > 0, for p linear in standard atoms: it is the
// sum of F over a running window, plus end terms. Each monomial may stand
// anywhere in the window; several ways to place it are tried.
func (s *prover) linear(p poly.Poly, strict bool) bool {
	size, hasSize := s.Scope.Ring.Index(s.Sums.Size)
	for _, sizeInside := range []bool{false, true} {
		if sizeInside && (!hasSize || s.Scope.Ring.DegreeIn(p, size) <= 0) {
			break // as before
		}
		f, ok := s.formOf(p, sizeInside)
		if !ok || len(f.atoms) == 0 {
			return false
		}
		l := line{prover: s, p: p, form: f, coefs: map[int]poly.Poly{}}
		if !l.collect() {
			continue
		}
		for _, l.numbers = range l.ways(sizeInside) {
			for _, place := range l.placings() {
				if s.meter.Exhausted() {
					return false
				}
				if s.try(func() bool { return l.attempt(place, strict) }) {
					return true
				}
			}
		}
	}
	return false
}

// numbers says what becomes of the terms of p without an atom.
type numbers int

const (
	atEnds      numbers = iota // they stay with the end terms
	ones                       // a multiple of n is a sum of ones in the window
	differences                // a polynomial r(n) is a sum of r(i) - r(i-1)
)

func (l *line) ways(sizeInside bool) []numbers {
	size, _ := l.Scope.Ring.Index(l.Sums.Size)
	switch {
	case sizeInside && l.Scope.Ring.DegreeIn(l.form.rest, size) > 0:
		return []numbers{differences}
	case sizeInside, l.size.IsZero():
		return []numbers{atEnds}
	}
	return []numbers{ones, atEnds}
}

// line is one linear question.
type line struct {
	*prover
	p       poly.Poly
	form    form
	coefs   map[int]poly.Poly // of atoms
	size    poly.Poly         // the coefficient of n
	numbers numbers
}

// collect reports that every term is linear: an atom, or n.
func (l *line) collect() bool {
	for _, t := range l.form.terms {
		switch {
		case len(t.atoms) == 1 && t.size == 0:
			l.coefs[t.atoms[0]] = t.coef
		case len(t.atoms) == 0 && t.size == 1:
			l.size = t.coef
		default:
			return false
		}
	}
	return true
}

// placing gives the weights of an atom at each shift in the window; the
// telescoping terms of the window go with it.
type placing struct {
	width     int
	weights   map[int][]number.Num
	telescope bool
}

// attempt tries one placing.
func (l *line) attempt(place placing, strict bool) bool {
	s := l.prover
	var uses []formula.Use
	var weights []number.Num
	for _, k := range l.form.atoms {
		for shift, c := range place.weights[k] {
			if !c.IsZero() {
				uses = append(uses, formula.Use{Atom: k, Shift: shift})
				weights = append(weights, c)
			}
		}
	}
	outer := s.nodes(l.form.names, false)
	if l.numbers == differences {
		outer = append(s.nodes(l.form.names, true), s.Sums.IndexTree())
	}
	w, bodies, err := s.Sums.Window(1, place.width, uses, outer, false)
	if err != nil {
		return false
	}
	f := w.Zero().Fraction
	given := w.Given
	for i, u := range uses {
		c, ok := s.into(w.Scope, l.coefs[u.Atom])
		if !ok {
			return false
		}
		f = w.Plus(f, w.Times(one(w.Ring, w.Ring.Scale(c, weights[i])), bodies[i].Fraction))
		given = formula.And(given, conditions(bodies[i].Domain))
	}
	inside, ok := l.insideWindow(w)
	if !ok {
		return false
	}
	f = w.Plus(f, one(w.Ring, inside))
	if place.telescope && !l.stationary(w, &f) {
		return false
	}
	given = formula.And(given, s.outerGiven(w.Scope))
	end, ok := l.end(place)
	if !ok {
		return false
	}
	for _, rels := range [][2]poly.Rel{{poly.Gt, poly.Ge}, {poly.Ge, poly.Gt}, {poly.Ge, poly.Ge}} {
		if strict != (rels[0] == poly.Gt || rels[1] == poly.Gt) || rels[1] == poly.Gt && end.value.Num.IsZero() {
			continue
		}
		if s.try(func() bool { return s.both(w, f, given, end, rels) }) {
			s.claim(claim{scope: s.Scope, p: l.p, ends: end.scope, e: end.value, parts: []part{{win: w, f: f, to: s.last(w), copies: 1}}})
			return true
		}
	}
	return false
}

// insideWindow is the share of the numbers that one window gets.
func (l *line) insideWindow(w *formula.Window) (poly.Poly, bool) {
	switch l.numbers {
	case ones:
		return l.into(w.Scope, l.size)
	case differences:
		r, ok := l.into(w.Scope, l.form.rest)
		size, okN := w.Ring.Index(l.Sums.Size)
		index, okI := w.Ring.Index(w.Index()[0])
		if !ok || !okN || !okI {
			return r, false
		}
		at := w.Ring.Sub(w.Ring.Var(index), w.Ring.Int(l.last(w)))
		before := w.Ring.Sub(at, w.Ring.Int(1))
		return w.Ring.Sub(w.Ring.Subst(r, size, at), w.Ring.Subst(r, size, before)), true
	}
	return poly.Poly{}, true
}

// last is the place of the last window, counted from n.
func (s *prover) last(w *formula.Window) int64 {
	if s.Sums.Cyclic {
		return 0
	}
	return -int64(w.Width)
}

// both proves the relations of the summand and of the end term to 0.
func (s *prover) both(w *formula.Window, f formula.Fraction, given *formula.Formula, end end, rels [2]poly.Rel) bool {
	if rels[0] == poly.Gt {
		s.proof.From = max(s.proof.From, 1-s.last(w)) // one window at least
	}
	if !end.value.Num.IsZero() && !s.always(end.scope, workEnd, end.given, compare(end.scope, end.value, rels[1])) {
		return false
	}
	return s.always(w.Scope, workMember, given, compare(w.Scope, f, rels[0]))
}

func compare(scope *formula.Scope, f formula.Fraction, rel poly.Rel) *formula.Formula {
	return scope.Compare(formula.Term{Fraction: f}, scope.Zero(), rel)
}

// end is the end term of a claim.
type end struct {
	scope *formula.Scope
	value formula.Fraction
	given *formula.Formula
}

// end is what the windows do not reach: with weight c at shift h, the first h
// and the last width - h - (own width) places of an atom.
func (l *line) end(place placing) (end, bool) {
	s := l.prover
	r := s.Scope.Ring
	rest := l.form.rest
	n, _ := r.Index(s.Sums.Size)
	lost := int64(place.width) // there are n - lost windows
	if s.Sums.Cyclic {
		lost = 0
	}
	switch l.numbers {
	case atEnds:
		rest = r.Add(rest, r.Mul(l.size, r.Var(n)))
	case ones:
		rest = r.Add(rest, r.Scale(l.size, number.Int(lost)))
	case differences:
		rest = r.Eval(rest, n, number.Int(lost))
	}
	var ends []formula.End
	var weights []number.Num
	if !s.Sums.Cyclic {
		for _, k := range l.form.atoms {
			own := int64(s.Sums.Atoms[k].Width)
			for h, c := range place.weights[k] {
				if c.IsZero() {
					continue
				}
				for t := int64(1); t <= int64(h); t++ {
					ends, weights = append(ends, formula.End{Atom: k, At: t}), append(weights, c)
				}
				for t := int64(h) - int64(place.width) + 1; t <= -own; t++ {
					ends, weights = append(ends, formula.End{Atom: k, At: t, FromEnd: true}), append(weights, c)
				}
			}
		}
	}
	if !s.Sums.Cyclic {
		s.proof.From = max(s.proof.From, int64(place.width))
	}
	names := append(append([]int(nil), l.form.names...), r.Vars(rest)...)
	scope, values, given, err := s.Sums.Ends(s.proof.From, ends, s.nodes(names, true))
	if err != nil {
		return end{}, false
	}
	c, ok := s.into(scope, rest)
	if !ok {
		return end{}, false
	}
	e := end{scope: scope, value: one(scope.Ring, c), given: formula.And(given, s.outerGiven(scope))}
	for i, x := range ends {
		c, ok := s.into(scope, l.coefs[x.Atom])
		if !ok {
			return end{}, false
		}
		e.value = scope.Plus(e.value, scope.Times(one(scope.Ring, scope.Ring.Scale(c, weights[i])), values[i]))
	}
	return e, true
}

// outerGiven is that part of the assumptions that can be said in another
// scope: conditions without atoms and roots.
func (s *prover) outerGiven(scope *formula.Scope) *formula.Formula {
	all := s.Sums.AtLeast(scope, max(s.From, 0))
	kids := []*formula.Formula{s.Given}
	if s.Given.Op == formula.All {
		kids = s.Given.Kids
	}
	for _, k := range kids {
		if k.Op != formula.Is || s.hasAtoms(k.Cond.P) {
			continue
		}
		if p, ok := s.into(scope, k.Cond.P); ok {
			all = formula.And(all, formula.Condition(poly.Condition{P: p, Rel: k.Cond.Rel}))
		}
	}
	return all
}
