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
// S and T, with n as the sum of ones.
func (s *prover) cauchy(atoms []int) []poly.Poly {
	var uses []formula.Use
	var usable []int
	for _, k := range atoms {
		if a := s.Sums.Atoms[k]; a.Standard && a.Width == 0 {
			usable = append(usable, k)
			uses = append(uses, formula.Use{Atom: k})
		}
	}
	if len(usable) == 0 {
		return nil
	}
	w, bodies, err := s.Sums.Window(1, 0, uses, nil, false)
	if err != nil {
		return nil
	}
	ring := s.Scope.Ring
	type side struct {
		body formula.Fraction
		sum  poly.Poly
	}
	var sides []side
	for i, k := range usable {
		v, _ := ring.Index(s.Sums.Atoms[k].Name)
		sides = append(sides, side{bodies[i].Fraction, ring.Var(v)})
	}
	if v, ok := ring.Index(s.Sums.Size); ok {
		sides = append(sides, side{one(w.Ring, w.Ring.Int(1)), ring.Var(v)})
	}
	var list []poly.Poly
	for i, a := range sides {
		for _, b := range sides[i+1:] {
			for _, m := range sides {
				if w.Equal(w.Times(a.body, b.body), w.Times(m.body, m.body)) && len(list) < maxLemmas {
					list = append(list, ring.Sub(ring.Mul(a.sum, b.sum), ring.Mul(m.sum, m.sum)))
				}
			}
		}
	}
	return list
}
