package integer

import (
	"math/big"

	"squaremark/algebra/budget"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// moduli are tried in turn; squares, cubes and fourth powers have few
// remainders modulo these.
var moduli = [...]int64{2, 3, 4, 5, 7, 8, 9, 16, 11, 13}

// maxRemainders bounds the tuples of remainders that are tried.
const maxRemainders = 4096

// residues shows that the equations have no solution because they have none
// among the remainders modulo a small number.
func (s *search) residues(p *problem) (done, settled bool) {
	slots := s.slots(p)
	var equations []poly.Poly
	for _, c := range p.conds {
		if c.Rel == poly.Eq && c.P.IsRational() {
			equations = append(equations, c.P)
		}
	}
	if len(equations) == 0 {
		return false, false
	}
	for _, m := range moduli {
		if power(m, len(slots)) > maxRemainders {
			continue
		}
		if !s.solvableModulo(equations, slots, m) && !s.m.Exhausted() {
			if s.noting(p) {
				s.note("%s: no solution among the remainders modulo %d", s.conditions(p), m)
			}
			return true, true
		}
	}
	return false, false
}

// descent takes homogeneous equations alone in all slots: if modulo p^k only
// tuples of multiples of p solve them, a solution other than 0 could be
// divided by p for ever, so that there is none (Fermat's descent).
func (s *search) descent(p *problem) (done, settled bool) {
	slots := s.slots(p)
	var equations []poly.Poly
	for _, c := range p.conds {
		if ok, _ := s.ring.Homogeneous(c.P); !ok || c.Rel != poly.Eq || !c.P.IsRational() {
			continue
		}
		equations = append(equations, c.P)
	}
	if len(equations) == 0 {
		return false, false
	}
	for _, m := range [...]struct{ p, power int64 }{{3, 3}, {2, 4}, {5, 5}, {7, 7}, {2, 8}, {3, 9}, {2, 16}, {11, 11}, {13, 13}} {
		if power(m.power, len(slots)) > maxRemainders {
			continue
		}
		if s.onlyMultiples(equations, slots, m.p, m.power) && !s.m.Exhausted() {
			if s.noting(p) {
				s.note("%s: modulo %d only multiples of %d, so only 0 by descent", s.conditions(p), m.power, m.p)
			}
			q := p
			for _, v := range slots {
				q = s.with(q, v, new(big.Int))
			}
			return true, s.solve(q)
		}
	}
	return false, false
}

func (s *search) onlyMultiples(equations []poly.Poly, slots []int, p, m int64) bool {
	terms := make([][]remainderTerm, len(equations))
	for i, f := range equations {
		terms[i] = s.modulo(f, m)
	}
	only := true
	s.remainders(slots, m, func(at []int64) bool {
		for _, f := range terms {
			if valueModulo(f, at, m) != 0 {
				return true
			}
		}
		for _, v := range slots {
			only = only && at[v]%p == 0
		}
		return only
	})
	return only
}

func power(m int64, n int) int64 {
	p := int64(1)
	for range n {
		if p *= m; p > maxRemainders {
			break
		}
	}
	return p
}

// remainderTerm is a term with its coefficient modulo m.
type remainderTerm struct {
	c    int64
	exps []uint8
}

func (s *search) modulo(f poly.Poly, m int64) []remainderTerm {
	var list []remainderTerm
	s.ring.Each(f, func(exps []uint8, c number.Num) bool {
		k := c.Floor()
		if k.Mod(k, big.NewInt(m)); k.Sign() != 0 {
			list = append(list, remainderTerm{k.Int64(), append([]uint8(nil), exps...)})
		}
		return true
	})
	return list
}

func valueModulo(f []remainderTerm, at []int64, m int64) int64 {
	sum := int64(0)
	for _, t := range f {
		v := t.c
		for i, e := range t.exps {
			for range e {
				v = v * at[i] % m
			}
		}
		sum += v
	}
	return sum % m
}

// remainders calls visit with each tuple of remainders for the slots until it
// returns false.
func (s *search) remainders(slots []int, m int64, visit func(at []int64) bool) {
	at := make([]int64, s.ring.Len())
	for s.m.Spend(budget.CostEvaluate) && visit(at) {
		i := 0
		for ; i < len(slots); i++ {
			if at[slots[i]]++; at[slots[i]] < m {
				break
			}
			at[slots[i]] = 0
		}
		if i == len(slots) {
			return
		}
	}
}

func (s *search) solvableModulo(equations []poly.Poly, slots []int, m int64) bool {
	terms := make([][]remainderTerm, len(equations))
	for i, f := range equations {
		terms[i] = s.modulo(f, m)
	}
	solvable := false
	s.remainders(slots, m, func(at []int64) bool {
		for _, f := range terms {
			if valueModulo(f, at, m) != 0 {
				return true
			}
		}
		solvable = true
		return false
	})
	return solvable
}

// maxDivisor bounds the coefficient that divided works with, maxParts the
// tuples of remainders it tries.
const (
	maxDivisor = 30
	maxParts   = 120
)

// divided takes an equation a·v + g = 0 with g in the other slots: modulo a
// these have one of finitely many remainders, and for each that makes g
// divisible, slots u = a·t + remainder turn the equation into one that gives
// v as a polynomial with integer coefficients.
func (s *search) divided(p *problem) (done, settled bool) {
	for _, c := range p.conds {
		if c.Rel != poly.Eq || !c.P.IsRational() {
			continue
		}
		for _, v := range s.ring.Vars(c.P) {
			cs := s.ring.Coeffs(c.P, v)
			if len(cs) != 2 {
				continue
			}
			a, ok := cs[1].IsConst()
			if !ok {
				continue
			}
			m, small := a.Abs().Int64()
			slots := s.ring.Vars(cs[0])
			if !small || m < 2 || m > maxDivisor || power(m, len(slots)) > maxParts {
				continue
			}
			return true, s.parts(p, cs[0], slots, m)
		}
	}
	return false, false
}

func (s *search) parts(p *problem, g poly.Poly, slots []int, m int64) bool {
	terms := s.modulo(g, m)
	settled := true
	r := s.ring
	s.remainders(slots, m, func(at []int64) bool {
		if valueModulo(terms, at, m) != 0 {
			return true
		}
		q := p
		for _, u := range slots {
			q = s.substituted(q, u, r.Add(r.Scale(r.Var(u), number.Int(m)), r.Int(at[u])))
		}
		settled = s.solve(q)
		return settled
	})
	return settled && !s.m.Exhausted()
}
