package squares

import (
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// changeVariables makes linear facts variables of their own: with x ≥ y ≥ z ≥ 0
// it is x−y, y−z and z in which everything is written, for the sides of a
// triangle a+b−c and so on, for x ≥ 1 it is x−1. In such variables many
// polynomials have coefficients of one sign.
func (s *system) changeVariables() {
	chosen := s.independent(s.extremal())
	plain := true
	for _, l := range chosen {
		plain = plain && l.p.Len() == 1 && l.p.LeadCoef().Sign() > 0
	}
	if plain {
		return
	}
	forward, back, ok := s.linearMap(chosen)
	if !ok {
		return
	}
	for i := range s.facts {
		s.facts[i].p = substituteAll(s.ring, s.facts[i].p, forward)
	}
	for i := range s.unequals {
		s.unequals[i].p = substituteAll(s.ring, s.unequals[i].p, forward)
	}
	for i := range s.equations {
		s.equations[i].p = substituteAll(s.ring, s.equations[i].p, forward)
	}
	for i := range s.normed {
		s.normed[i].p = substituteAll(s.ring, s.normed[i].p, forward)
	}
	s.forward, s.back = forward, back
}

// linearFact is a fact of degree 1 with its coefficients, and the variable
// whose place it can take.
type linearFact struct {
	p     poly.Poly
	cs    []number.Num // of the variables
	c0    number.Num
	place int
}

// extremal lists the linear facts that are not sums of non-negative multiples
// of others.
func (s *system) extremal() []linearFact {
	var all []linearFact
	for _, f := range s.facts {
		if cs, c0, ok := s.ring.Linear(f.p); ok && f.p.Degree() == 1 {
			all = append(all, linearFact{p: f.p, cs: cs, c0: c0})
		}
	}
	for i := 0; i < len(all) && len(all) > 1; {
		others := append(append([]linearFact(nil), all[:i]...), all[i+1:]...)
		if s.combines(all[i], others) {
			all = others
		} else {
			i++
		}
	}
	return all
}

// independent picks facts whose variables' coefficients are independent.
func (s *system) independent(all []linearFact) []linearFact {
	var chosen []linearFact
	var rows [][]number.Num // reduced, each with its pivot
	var pivots []int
	for _, l := range all {
		row := append([]number.Num(nil), l.cs...)
		for i, r := range rows {
			if c := row[pivots[i]]; !c.IsZero() {
				for j := range row {
					row[j] = row[j].Sub(c.Mul(r[j]))
				}
			}
		}
		pivot := -1
		for j, c := range row {
			if !c.IsZero() {
				pivot = j
				break
			}
		}
		if pivot < 0 {
			continue
		}
		inv, ok := row[pivot].Inv()
		if !ok {
			continue
		}
		for j := range row {
			row[j] = row[j].Mul(inv)
		}
		l.place = pivot
		rows, pivots, chosen = append(rows, row), append(pivots, pivot), append(chosen, l)
	}
	return chosen
}

// linearMap takes each chosen form as a new variable in the place of a given
// one: forward is the given variables in terms of the new ones, back the other
// way round.
func (s *system) linearMap(chosen []linearFact) (forward, back []poly.Poly, ok bool) {
	n := s.ring.Len()
	// Rows [coefficients | new variables | constant] of new = cs·x + c0, turned
	// into x = ... by elimination.
	back = make([]poly.Poly, n)
	rows := make([][]number.Num, n)
	for _, l := range chosen {
		back[l.place] = l.p
		rows[l.place] = append(append(append([]number.Num(nil), l.cs...), unit(n, l.place)...), l.c0)
	}
	for j := range n {
		if rows[j] == nil {
			back[j] = s.ring.Var(j)
			rows[j] = append(append(unit(n, j), unit(n, j)...), number.Num{})
		}
	}
	if !eliminateRows(rows, n) {
		return nil, nil, false
	}
	forward = make([]poly.Poly, n)
	for j, row := range rows {
		parts := []poly.Poly{s.ring.Const(row[2*n].Neg())}
		for k := range n {
			parts = append(parts, s.ring.Scale(s.ring.Var(k), row[n+k]))
		}
		forward[j] = s.ring.Sum(parts...)
	}
	return forward, back, true
}

func unit(n, k int) []number.Num {
	row := make([]number.Num, n)
	row[k] = number.Int(1)
	return row
}

// eliminateRows brings the first n columns to the unit matrix (Gauss–Jordan).
func eliminateRows(rows [][]number.Num, n int) bool {
	for k := range n {
		p := k
		for p < n && rows[p][k].IsZero() {
			p++
		}
		if p == n {
			return false
		}
		rows[k], rows[p] = rows[p], rows[k]
		inv, ok := rows[k][k].Inv()
		if !ok {
			return false
		}
		for j := range rows[k] {
			rows[k][j] = rows[k][j].Mul(inv)
		}
		for i := range rows {
			c := rows[i][k]
			if i == k || c.IsZero() {
				continue
			}
			for j := range rows[i] {
				if !rows[k][j].IsZero() {
					rows[i][j] = rows[i][j].Sub(c.Mul(rows[k][j]))
				}
			}
		}
	}
	return true
}

// substituteAll replaces every variable v by exprs[v] at once.
func substituteAll(r *poly.Ring, p poly.Poly, exprs []poly.Poly) poly.Poly {
	powers := make([][]poly.Poly, len(exprs))
	power := func(v, e int) poly.Poly {
		if powers[v] == nil {
			powers[v] = []poly.Poly{r.Int(1)}
		}
		for len(powers[v]) <= e {
			powers[v] = append(powers[v], r.Mul(powers[v][len(powers[v])-1], exprs[v]))
		}
		return powers[v][e]
	}
	var parts []poly.Poly
	r.Each(p, func(exps []uint8, c number.Num) bool {
		t := r.Const(c)
		for v, e := range exps {
			if e > 0 {
				t = r.Mul(t, power(v, int(e)))
			}
		}
		parts = append(parts, t)
		return !r.Meter().Exhausted()
	})
	return r.Sum(parts...)
}
