package series

import (
	"slices"

	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// products proves p ≥ 0, or p > 0, where each term of p is a product of two
// standard atoms, or of n and an atom, or n², and similarly for three: it is
// a double sum, over i and j, of a symmetric F(i, j). The pairs with i = j
// are taken apart, together with the terms of p that are single sums. An
// equation S = c between an atom and a number makes terms longer.
func (s *prover) products(p poly.Poly, strict bool) bool {
	f, ok := s.formOf(p, false)
	if !ok {
		return false
	}
	if d := f.degree(); (d == 2 || d == 3) && s.try(func() bool { return s.double(p, f, strict) }) {
		return true
	}
	for _, eq := range s.equations() {
		q, ok := s.lengthened(p, f, eq)
		if !ok {
			continue
		}
		g, ok := s.formOf(q, false)
		if ok && s.try(func() bool { return s.double(q, g, strict) }) {
			s.step("with %s = 0, %s is %s", s.Scope.Ring.String(eq), s.Scope.Ring.String(p), s.Scope.Ring.String(q))
			return true
		}
	}
	return false
}

// equations lists the polynomials that the assumptions set to 0 and that hold
// atoms.
func (s *prover) equations() []poly.Poly {
	kids := []*formula.Formula{s.Given}
	if s.Given.Op == formula.All {
		kids = s.Given.Kids
	}
	var list []poly.Poly
	for _, k := range kids {
		if k.Op == formula.Is && k.Cond.Rel == poly.Eq && s.hasAtoms(k.Cond.P) {
			list = append(list, k.Cond.P)
		}
	}
	return list
}

// lengthened multiplies the short terms of p by (b·S)/(-c), which is 1 by the
// equation b·S + c = 0, until all have the weight of the longest.
func (s *prover) lengthened(p poly.Poly, f form, eq poly.Poly) (poly.Poly, bool) {
	r := s.Scope.Ring
	e, ok := s.formOf(eq, false)
	if !ok || len(e.terms) != 1 || len(e.terms[0].atoms) != 1 || e.terms[0].size != 0 {
		return p, false
	}
	b, okB := e.terms[0].coef.IsConst()
	c, okC := e.rest.IsConst()
	inv, nonzero := c.Neg().Inv()
	if !okB || !okC || !nonzero {
		return p, false
	}
	v, _ := r.Index(s.Sums.Atoms[e.terms[0].atoms[0]].Name)
	unit := r.Scale(r.Var(v), b.Mul(inv))
	d := max(f.degree(), 2)
	out := poly.Poly{}
	if !f.rest.IsZero() {
		out = r.Mul(f.rest, r.Pow(unit, d))
	}
	for _, t := range f.terms {
		m := r.Mul(s.monomial(t), r.Pow(unit, d-t.weight()))
		out = r.Add(out, m)
	}
	_, exact := r.DivExact(r.Sub(out, p), eq)
	return out, exact && !r.Equal(out, p)
}

// monomial is a term as a polynomial of the outer ring.
func (s *prover) monomial(t product) poly.Poly {
	r := s.Scope.Ring
	m := t.coef
	for _, k := range t.atoms {
		v, _ := r.Index(s.Sums.Atoms[k].Name)
		m = r.Mul(m, r.Var(v))
	}
	if t.size > 0 {
		v, _ := r.Index(s.Sums.Size)
		m = r.Mul(m, r.Pow(r.Var(v), t.size))
	}
	return m
}

// double proves a form of weight two or three.
func (s *prover) double(p poly.Poly, f form, strict bool) bool {
	d := f.degree()
	if d < 2 || d > 3 || f.width > 0 && !s.Sums.Cyclic {
		return false
	}
	for _, t := range f.terms {
		if w := t.weight(); w < d && d == 3 {
			return false
		}
	}
	whole, ok := s.summand(f, d)
	if !ok || !s.always(whole.win.Scope, workMember, whole.given, compare(whole.win.Scope, whole.f, poly.Ge)) {
		return false
	}
	parts := []part{{win: whole.win, f: whole.f, copies: d, distinct: d == 2}}
	if d == 2 {
		same, ok := s.diagonal(f, strict && f.rest.IsZero())
		if !ok {
			return false
		}
		parts = append(parts, same)
	}
	if strict && f.rest.IsZero() {
		s.proof.From = max(s.proof.From, 1)
		if d == 3 && !s.always(whole.win.Scope, workMember, whole.given, compare(whole.win.Scope, whole.f, poly.Gt)) {
			return false
		}
	}
	rel := poly.Ge
	if strict {
		rel = poly.Gt
	}
	if !f.rest.IsZero() && !s.always(s.Scope, workEnd, s.outerGiven(s.Scope), compare(s.Scope, one(s.Scope.Ring, f.rest), rel)) {
		return false
	}
	s.claim(claim{scope: s.Scope, p: p, ends: s.Scope, e: one(s.Scope.Ring, f.rest), parts: parts})
	return true
}

// summand is a symmetric function of d running indices, with what is known
// about its members.
type summand struct {
	win   *formula.Window
	f     formula.Fraction
	given *formula.Formula
}

// permutations of two or three slots.
func permutations(d int) [][]int {
	if d == 2 {
		return [][]int{{0, 1}, {1, 0}}
	}
	return [][]int{{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}}
}

// summand gathers the terms of weight d, each averaged over the orders of the
// running indices.
func (s *prover) summand(f form, d int) (summand, bool) {
	var uses []formula.Use
	at := map[formula.Use]int{}
	for _, k := range f.atoms {
		for c := range d {
			u := formula.Use{Atom: k, Copy: c}
			at[u] = len(uses)
			uses = append(uses, u)
		}
	}
	w, bodies, err := s.Sums.Window(d, f.width, uses, s.nodes(f.names, false), d == 2)
	if err != nil {
		return summand{}, false
	}
	out := summand{win: w, f: w.Zero().Fraction, given: formula.And(w.Given, s.outerGiven(w.Scope))}
	for _, b := range bodies {
		out.given = formula.And(out.given, conditions(b.Domain))
	}
	orders := permutations(d)
	share := number.Frac(1, int64(len(orders)))
	for _, t := range f.terms {
		if t.weight() != d {
			continue
		}
		c, ok := s.into(w.Scope, t.coef)
		if !ok {
			return summand{}, false
		}
		for _, order := range orders {
			term := one(w.Ring, w.Ring.Scale(c, share))
			for slot, k := range t.atoms {
				term = w.Times(term, bodies[at[formula.Use{Atom: k, Copy: order[slot]}]].Fraction)
			}
			out.f = w.Plus(out.f, term)
		}
	}
	return out, true
}

// diagonal proves that F(i, i) together with the single sums is not negative,
// or positive.
func (s *prover) diagonal(f form, strict bool) (part, bool) {
	var uses []formula.Use
	for _, k := range f.atoms {
		uses = append(uses, formula.Use{Atom: k})
	}
	w, bodies, err := s.Sums.Window(1, f.width, uses, s.nodes(f.names, false), false)
	if err != nil {
		return part{}, false
	}
	total := w.Zero().Fraction
	given := formula.And(w.Given, s.outerGiven(w.Scope))
	for _, b := range bodies {
		given = formula.And(given, conditions(b.Domain))
	}
	for _, t := range f.terms {
		c, ok := s.into(w.Scope, t.coef)
		if !ok {
			return part{}, false
		}
		term := one(w.Ring, c)
		for _, k := range t.atoms {
			term = w.Times(term, bodies[slices.Index(f.atoms, k)].Fraction)
		}
		total = w.Plus(total, term)
	}
	rel := poly.Ge
	if strict {
		rel = poly.Gt
	}
	return part{win: w, f: total, copies: 1}, s.always(w.Scope, workMember, given, compare(w.Scope, total, rel))
}
