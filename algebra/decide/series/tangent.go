package series

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
)

// tangent proves p ≥ 0, or p > 0, for p linear in atoms of one family under
// an equation that is linear in its members: Σ f(a_i) ≥ 0 given Σ g(a_i) = 0
// follows from f + λ·g ≥ 0, where λ is chosen so that the left side has
// derivative 0 where g vanishes. Numbers without a sum are spread evenly over
// the n places.
//
// Source: the tangent line trick of olympiad handbooks; a Lagrange multiplier.
func (s *prover) tangent(p poly.Poly, strict bool) bool {
	for _, eq := range s.equations() {
		if s.try(func() bool { return s.tangentBy(p, eq, strict) }) {
			return true
		}
	}
	return false
}

func (s *prover) tangentBy(p, eq poly.Poly, strict bool) bool {
	f, okF := s.formOf(p, true)
	g, okG := s.formOf(eq, true)
	if !okF || !okG || f.width+g.width > 0 || s.From < 1 {
		return false
	}
	both := form{atoms: append([]int(nil), f.atoms...), names: append(append([]int(nil), f.names...), g.names...)}
	for _, k := range g.atoms {
		if !contains(both.atoms, k) {
			both.atoms = append(both.atoms, k)
		}
	}
	var uses []formula.Use
	for _, k := range both.atoms {
		uses = append(uses, formula.Use{Atom: k})
	}
	w, bodies, err := s.Sums.Window(1, 0, uses, s.nodes(both.names, true), false)
	if err != nil {
		return false
	}
	value := map[int]formula.Fraction{}
	given := formula.And(w.Given, s.outerGiven(w.Scope))
	for i, k := range both.atoms {
		value[k] = bodies[i].Fraction
		given = formula.And(given, conditions(bodies[i].Domain))
	}
	size, _ := w.Ring.Index(s.Sums.Size)
	F, okF := s.spread(w, f, value, size)
	G, okG := s.spread(w, g, value, size)
	x, okX := onlyMember(w)
	if !okF || !okG || !okX {
		return false
	}
	// G = (u·x + v)/e
	r := w.Ring
	if r.DegreeIn(G.Num, x) != 1 || r.DegreeIn(G.Den, x) > 0 {
		return false
	}
	parts := r.Coeffs(G.Num, x)
	v, u := parts[0], parts[1]
	slope := r.Sub(r.Mul(r.Derivative(F.Num, x), F.Den), r.Mul(F.Num, r.Derivative(F.Den, x)))
	top, k := r.SubstFrac(slope, x, r.Neg(v), u)
	bottom, m := r.SubstFrac(r.Mul(F.Den, F.Den), x, r.Neg(v), u)
	if bottom.IsZero() || u.IsZero() {
		return false
	}
	// λ = -F'(x₀)·e/u; clearing powers of u from top/u^k and bottom/u^m
	lambda := formula.Fraction{
		Num: r.Neg(r.Mul(r.Mul(top, r.Pow(u, m)), G.Den)),
		Den: r.Mul(r.Mul(bottom, r.Pow(u, k)), u),
	}
	if g := r.GCD(lambda.Num, lambda.Den); !g.IsZero() {
		lambda.Num, _ = r.DivExact(lambda.Num, g)
		lambda.Den, _ = r.DivExact(lambda.Den, g)
	}
	total := w.Plus(F, w.Times(lambda, G))
	given = formula.And(given, s.memberBounds(w, g, value))
	rel := poly.Ge
	if strict {
		rel = poly.Gt
	}
	lambdaDen, okD := r.Map(lambda.Den, s.Scope.Ring)
	lambdaNum, okN := r.Map(lambda.Num, s.Scope.Ring)
	if !okD || !okN {
		return false
	}
	nonzero := compare(s.Scope, one(s.Scope.Ring, lambdaDen), poly.Ne)
	if !s.always(s.Scope, workEnd, s.Given, nonzero) || !s.always(w.Scope, workMember, given, compare(w.Scope, total, rel)) {
		return false
	}
	ring := s.Scope.Ring
	left := ring.Add(ring.Mul(lambdaDen, p), ring.Mul(lambdaNum, eq))
	s.step("with the tangent %s/(%s) times %s = 0", ring.String(lambdaNum), ring.String(lambdaDen), ring.String(eq))
	s.claim(claim{
		scope: s.Scope, p: left, ends: s.Scope, e: one(ring, poly.Poly{}),
		parts: []part{{win: w, f: w.Times(one(r, lambda.Den), total), copies: 1}},
	})
	return true
}

func contains(list []int, k int) bool {
	for _, x := range list {
		if x == k {
			return true
		}
	}
	return false
}

// spread is the summand of a linear form, numbers divided by n.
func (s *prover) spread(w *formula.Window, f form, value map[int]formula.Fraction, size int) (formula.Fraction, bool) {
	c, ok := s.into(w.Scope, f.rest)
	total := formula.Fraction{Num: c, Den: w.Ring.Var(size)}
	for _, t := range f.terms {
		c, okC := s.into(w.Scope, t.coef)
		if len(t.atoms) != 1 || !okC {
			return total, false
		}
		total = w.Plus(total, w.Times(one(w.Ring, c), value[t.atoms[0]]))
	}
	return total, ok
}

// onlyMember is the one variable of the window that depends on the index.
func onlyMember(w *formula.Window) (int, bool) {
	found := -1
	for v := range w.Vars {
		if _, _, _, ok := w.MemberName(v); ok {
			if found >= 0 {
				return 0, false
			}
			found = v
		}
	}
	return found, found >= 0 && len(w.Symbols) == 0
}

// memberBounds says that no term of a sum of terms that are not negative
// exceeds the sum: from b·S + c = 0 with b > 0 follows b·body + c ≤ 0.
func (s *prover) memberBounds(w *formula.Window, g form, value map[int]formula.Fraction) *formula.Formula {
	if len(g.terms) != 1 || len(g.terms[0].atoms) != 1 || s.sign(g.terms[0].atoms[0]) < 0 {
		return formula.Always()
	}
	b, constant := g.terms[0].coef.IsConst()
	c, ok := s.into(w.Scope, g.rest)
	if !constant || !ok || b.IsZero() {
		return formula.Always()
	}
	inv, _ := b.Inv()
	k := g.terms[0].atoms[0]
	bound := w.Plus(value[k], one(w.Ring, w.Ring.Scale(c, inv)))
	rel := poly.Le
	if s.sign(k) == 1 && s.From >= 2 {
		rel = poly.Lt
	}
	return compare(w.Scope, bound, rel)
}
