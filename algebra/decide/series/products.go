package series

import (
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
		for _, all := range []bool{true, false} {
			q, ok := s.lengthened(p, f, eq, all)
			if !ok {
				continue
			}
			g, ok := s.formOf(q, false)
			if ok && s.try(func() bool { return s.double(q, g, strict) }) {
				s.step("with %s = 0, %s is %s", s.Scope.Ring.String(eq), s.Scope.Ring.String(p), s.Scope.Ring.String(q))
				return true
			}
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

// lengthened multiplies the short terms of p, all or only those without a
// sum, by (b·S)/(-c), which is 1 by the equation b·S + c = 0, until they have
// the weight of the longest.
func (s *prover) lengthened(p poly.Poly, f form, eq poly.Poly, all bool) (poly.Poly, bool) {
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
		m := s.monomial(t)
		if all {
			m = r.Mul(m, r.Pow(unit, d-t.weight()))
		}
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
	for _, even := range []bool{true, false} {
		if f.width == 0 && even {
			continue
		}
		if s.try(func() bool { return s.doubleBy(p, f, strict, even) }) {
			return true
		}
	}
	return false
}

// doubleBy does so with the bodies of atoms spread evenly over the window, or
// with all at its beginning. For p > 0 one of the parts has to be positive.
func (s *prover) doubleBy(p poly.Poly, f form, strict, even bool) bool {
	d := f.degree()
	whole, ok := s.summand(f, d, even, false)
	if !ok {
		return false
	}
	all := []summand{whole}
	parts := []part{{win: whole.win, f: whole.f, copies: d, distinct: d == 2}}
	if d == 2 {
		same, ok := s.summand(f, 2, even, true)
		if !ok {
			return false
		}
		all = append(all, same)
		parts = append(parts, part{win: same.win, f: same.f, copies: 1})
	}
	if !f.rest.IsZero() {
		all = append(all, summand{scope: s.Scope, f: one(s.Scope.Ring, f.rest), given: s.outerGiven(s.Scope)})
	}
	// Whether a part is at least not negative is asked first, the cheap parts
	// before the others; then which one is positive.
	for i := len(all) - 1; i >= 0; i-- {
		if !s.always(all[i].scope, workMember, all[i].given, compare(all[i].scope, all[i].f, poly.Ge)) {
			return false
		}
	}
	if strict && !s.somePositive(all, d) {
		return false
	}
	s.claim(claim{scope: s.Scope, p: p, ends: s.Scope, e: one(s.Scope.Ring, f.rest), parts: parts})
	return true
}

// somePositive proves one of the parts of a claim positive: the first needs
// two different indices, or one; the second one; the end term none.
func (s *prover) somePositive(all []summand, d int) bool {
	for i := len(all) - 1; i >= 0; i-- {
		if !s.always(all[i].scope, workMember, all[i].given, compare(all[i].scope, all[i].f, poly.Gt)) {
			continue
		}
		switch {
		case all[i].win == nil:
		case i == 0 && d == 2:
			s.proof.From = max(s.proof.From, 2)
		default:
			s.proof.From = max(s.proof.From, 1)
		}
		return true
	}
	return false
}

// summand is a function of running indices, or an end term, with what is
// known about its members.
type summand struct {
	win   *formula.Window // nil for an end term
	scope *formula.Scope
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
// running indices. On the diagonal, where all running indices are the same,
// the single sums come to them.
func (s *prover) summand(f form, d int, even, diagonal bool) (summand, bool) {
	copies := d
	if diagonal {
		copies = 1
	}
	var uses []formula.Use
	at := map[[2]int][]int{} // of an atom and a running index: its uses
	for _, k := range f.atoms {
		shifts := 0
		if even && !s.Sums.Atoms[k].Weighted {
			shifts = f.width - s.Sums.Atoms[k].Width
		}
		for c := range copies {
			for h := 0; h <= shifts; h++ {
				at[[2]int{k, c}] = append(at[[2]int{k, c}], len(uses))
				uses = append(uses, formula.Use{Atom: k, Copy: c, Shift: h})
			}
		}
	}
	w, bodies, err := s.Sums.Window(copies, f.width, uses, s.nodes(f.names, false), copies == 2)
	if err != nil {
		return summand{}, false
	}
	out := summand{win: w, scope: w.Scope, f: w.Zero().Fraction, given: formula.And(w.Given, s.outerGiven(w.Scope))}
	for _, b := range bodies {
		out.given = formula.And(out.given, conditions(b.Domain))
	}
	body := map[[2]int]formula.Fraction{}
	for key, list := range at {
		total := w.Zero().Fraction
		for _, u := range list {
			total = w.Plus(total, bodies[u].Fraction)
		}
		body[key] = w.Times(total, one(w.Ring, w.Ring.Const(number.Frac(1, int64(len(list))))))
	}
	orders := permutations(d)
	if diagonal {
		orders = [][]int{make([]int, d)}
	}
	share := number.Frac(1, int64(len(orders)))
	for _, t := range f.terms {
		if t.weight() != d && !diagonal {
			continue
		}
		c, ok := s.into(w.Scope, t.coef)
		if !ok {
			return summand{}, false
		}
		for _, order := range orders {
			term := one(w.Ring, w.Ring.Scale(c, share))
			for slot, k := range t.atoms {
				term = w.Times(term, body[[2]int{k, order[slot]}])
			}
			out.f = w.Plus(out.f, term)
		}
	}
	return out, true
}
