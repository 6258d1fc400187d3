package series

import (
	"squaremark/algebra/decide"
	"squaremark/algebra/evidence"
	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
)

// maxLemmas bounds Cauchy's inequalities used at once.
const maxLemmas = 6

// abstract decides a goal with the atoms as variables of which only their
// signs are known, then also Cauchy's inequalities between them.
func (s *prover) abstract(goal *formula.Formula) bool {
	given := formula.And(s.Given, s.Sums.AtLeast(s.Scope, s.proof.From))
	var atoms []int
	for v := range s.Scope.Vars {
		k := s.Sums.AtomAt(s.Scope, v)
		if k < 0 {
			continue
		}
		atoms = append(atoms, k)
		switch s.sign(k) {
		case 1:
			given = formula.And(given, formula.Condition(poly.Condition{P: s.Scope.Ring.Var(v), Rel: poly.Gt}))
		case 0:
			given = formula.And(given, formula.Condition(poly.Condition{P: s.Scope.Ring.Var(v), Rel: poly.Ge}))
		}
	}
	if len(s.Scope.Symbols) > 0 {
		given = formula.And(given, s.orders(atoms))
	}
	given = formula.And(given, s.members(atoms))
	lemmas := s.cauchy(atoms)
	work := int64(workAbstract)
	if len(lemmas) > 0 {
		work /= 4
	}
	if s.settles(given, goal, work) {
		return true
	}
	if len(lemmas) == 0 {
		return false
	}
	return s.try(func() bool {
		for _, p := range lemmas {
			if !s.try(func() bool { return s.products(p, false) }) {
				continue
			}
			s.step("%s >= 0 (Cauchy and Schwarz)", s.Scope.Ring.String(p))
			given = formula.And(given, formula.Condition(poly.Condition{P: p, Rel: poly.Ge}))
		}
		return s.settles(given, goal, workAbstract)
	})
}

// maxOrders is for how many atoms each is compared with each.
const maxOrders = 4

// orders says which atoms are not less than another, or its negative.
func (s *prover) orders(atoms []int) *formula.Formula {
	all := formula.Always()
	if len(atoms) > maxOrders {
		return all
	}
	r := s.Scope.Ring
	for _, k := range atoms {
		for _, l := range atoms {
			v, _ := r.Index(s.Sums.Atoms[k].Name)
			w, _ := r.Index(s.Sums.Atoms[l].Name)
			if k == l || s.sign(k) < 0 {
				continue
			}
			for _, p := range []poly.Poly{r.Sub(r.Var(v), r.Var(w)), r.Add(r.Var(v), r.Var(w))} {
				if s.try(func() bool { return s.linear(p, false) }) {
					all = formula.And(all, formula.Condition(poly.Condition{P: p, Rel: poly.Ge}))
				}
			}
		}
	}
	return all
}

// members says that an atom whose body is not negative is not less than the
// body at each single member that is mentioned.
func (s *prover) members(atoms []int) *formula.Formula {
	all := formula.Always()
	if s.Sums.Cyclic {
		return all
	}
	r := s.Scope.Ring
	for _, k := range atoms {
		a := s.Sums.Atoms[k]
		if !a.Standard || a.Width > 0 || s.sign(k) < 0 {
			continue
		}
		name, _ := r.Index(a.Name)
		for v := range s.Scope.Vars {
			at, fromEnd, ok := s.Sums.EndOf(s.Scope, v)
			if !ok || !fromEnd && (at < 1 || at > s.From) || fromEnd && (at > 0 || s.From+at < 1) {
				continue
			}
			scope, values, _, err := s.Sums.Ends(s.From, []formula.End{{Atom: k, At: at, FromEnd: fromEnd}}, nil)
			if err != nil || len(scope.Symbols) > 0 {
				continue
			}
			body, ok := scope.IsPolynomial(values[0])
			if ok {
				body, ok = scope.Ring.Map(body, r)
			}
			p := r.Sub(r.Var(name), body)
			if ok && s.try(func() bool { return s.linear(p, false) }) {
				all = formula.And(all, formula.Condition(poly.Condition{P: p, Rel: poly.Ge}))
			}
		}
	}
	return all
}

// settles decides a goal in the outer scope; only a proof counts.
func (s *prover) settles(given, goal *formula.Formula, work int64) bool {
	a := decide.Always(s.bounded(work), given, goal)
	if a.Verdict != evidence.Holds {
		return false
	}
	s.record(a)
	return true
}

// cauchy lists the S·T - U² for which the body of U is the mean of those of
// S and T, with n as the sum of ones; round a cycle the body of T may be moved
// on by as many places as that of U is wide.
func (s *prover) cauchy(atoms []int) []poly.Poly {
	var usable []int
	width := 0
	for _, k := range atoms {
		if a := s.Sums.Atoms[k]; a.Standard && (a.Width == 0 || s.Sums.Cyclic) {
			usable = append(usable, k)
			width = max(width, a.Width)
		}
	}
	if len(usable) == 0 {
		return nil
	}
	var uses []formula.Use
	for _, k := range usable {
		for h := 0; h <= width; h++ {
			uses = append(uses, formula.Use{Atom: k, Shift: h})
		}
	}
	w, bodies, err := s.Sums.Window(1, 2*width, uses, nil, false)
	if err != nil {
		return nil
	}
	ring := s.Scope.Ring
	type side struct {
		body, moved formula.Fraction
		sum         poly.Poly
	}
	var sides []side
	for i, k := range usable {
		v, _ := ring.Index(s.Sums.Atoms[k].Name)
		sides = append(sides, side{bodies[i*(width+1)].Fraction, bodies[i*(width+1)+width].Fraction, ring.Var(v)})
	}
	if v, ok := ring.Index(s.Sums.Size); ok {
		ones := one(w.Ring, w.Ring.Int(1))
		sides = append(sides, side{ones, ones, ring.Var(v)})
	}
	var list []poly.Poly
	for i, a := range sides {
		for _, b := range sides[i:] {
			for _, m := range sides {
				if !w.Equal(w.Times(a.body, b.moved), w.Times(m.body, m.body)) || len(list) == maxLemmas {
					continue
				}
				if p := ring.Sub(ring.Mul(a.sum, b.sum), ring.Mul(m.sum, m.sum)); !p.IsZero() {
					list = append(list, p)
				}
			}
		}
	}
	return list
}
