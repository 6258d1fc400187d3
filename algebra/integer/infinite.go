package integer

import (
	"math/big"

	"squaremark/algebra/budget"
	"squaremark/algebra/decide/onevar"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/poly/uni"
)

// ray looks for a line of integer points b + t·d that satisfies all
// conditions for every large t: then there are infinitely many solutions, and
// the conditions themselves describe them.
func (s *search) ray(p *problem) (done, settled bool) {
	slots := s.slots(p)
	if len(slots) > 4 {
		return false, false
	}
	reach := int64(3)
	if len(slots) > 2 {
		reach = 1
	}
	tops := make([]poly.Poly, len(p.conds))
	for i, c := range p.conds {
		tops[i] = s.top(c.P)
	}
	for _, d := range grid(len(slots), 1) {
		if !s.leadsOn(p, tops, slots, d) {
			continue
		}
		for _, b := range grid(len(slots), reach) {
			if s.m.Exhausted() {
				return false, false
			}
			if s.staysOn(p, slots, b, d) {
				if s.noting(p) {
					s.note("%s holds for all large t at %s + t*%s", s.conditions(p), vectorText(b), vectorText(d))
				}
				return true, s.addFamily(family{back: p.back, conds: p.conds, slot: -1})
			}
		}
	}
	return false, false
}

func vectorText(v []int64) string {
	t := make([]*big.Int, len(v))
	for i, k := range v {
		t[i] = big.NewInt(k)
	}
	return TupleText(t)
}

// grid lists the integer points with all coordinates at most reach in size,
// nearest to 0 first in each coordinate.
func grid(n int, reach int64) [][]int64 {
	list := [][]int64{nil}
	for range n {
		var next [][]int64
		for _, v := range list {
			for k := int64(0); k <= reach; k++ {
				next = append(next, append(v[:len(v):len(v)], k))
				if k > 0 {
					next = append(next, append(v[:len(v):len(v)], -k))
				}
			}
		}
		list = next
	}
	return list
}

// top is the sum of the terms of highest degree.
func (s *search) top(f poly.Poly) poly.Poly {
	var terms []poly.Poly
	s.ring.Each(f, func(exps []uint8, c number.Num) bool {
		e, sum := powers(exps), 0
		for _, k := range e {
			sum += k
		}
		if sum < f.Degree() {
			return false // the terms come by falling degree
		}
		terms = append(terms, s.ring.Monomial(c, e))
		return true
	})
	return s.ring.Sum(terms...)
}

// leadsOn reports that d is not 0 and the terms of highest degree allow the
// conditions to hold far out in direction d.
func (s *search) leadsOn(p *problem, tops []poly.Poly, slots []int, d []int64) bool {
	at := make([]number.Num, s.ring.Len())
	zero := true
	for i, v := range slots {
		at[v] = number.Int(d[i])
		zero = zero && d[i] == 0
	}
	if zero {
		return false
	}
	for i, c := range p.conds {
		sign := s.ring.EvalAll(tops[i], at).Sign()
		if c.Rel == poly.Eq && sign != 0 || (c.Rel == poly.Le || c.Rel == poly.Lt) && sign > 0 {
			return false
		}
	}
	return true
}

// staysOn reports that all conditions hold at b + t·d for every large t.
func (s *search) staysOn(p *problem, slots []int, b, d []int64) bool {
	lines := make([]uni.Uni, s.ring.Len())
	for i, v := range slots {
		lines[v] = uni.Ints(b[i], d[i])
	}
	for _, c := range p.conds {
		f := s.along(c.P, lines)
		if !s.m.Spend(int64(c.P.Len() * budget.CostEvaluate)) {
			return false
		}
		if !c.Rel.Holds(f.Lead().Sign()) {
			return false
		}
	}
	return true
}

// along puts a polynomial in one parameter in for each slot.
func (s *search) along(f poly.Poly, lines []uni.Uni) uni.Uni {
	var sum uni.Uni
	s.ring.Each(f, func(exps []uint8, c number.Num) bool {
		t := uni.New(c)
		for v, e := range exps {
			if e > 0 {
				t = t.Mul(lines[v].Pow(int(e)))
			}
		}
		sum = sum.Add(t)
		return true
	})
	return sum
}

// pellReach bounds the search for a first solution.
const pellReach = 150

// pell takes an equation a·x² + b·xy + c·y² + d·x + e·y + f = 0 whose
// discriminant D = b² − 4ac is positive and not a square, standing alone
// among the conditions, or with b = d = e = 0 beside lower bounds of the
// slots. If the constant of conic is not 0 and there is one solution, there
// are infinitely many: a power of the fundamental automorph of the form acts
// trivially on the remainders that the linear terms ask for.
//
// Source: L. E. Dickson, Introduction to the Theory of Numbers, chapter 6
// (from memory).
func (s *search) pell(p *problem) (done, settled bool) {
	for _, k := range s.curves(p) {
		square := k.discriminant()
		if square.Sign() <= 0 || k.a.Sign() == 0 {
			continue
		}
		e := new(big.Int).Mul(k.b, k.d)
		e.Sub(e, new(big.Int).Lsh(new(big.Int).Mul(k.a, k.e), 1))
		rest := disc(k.a, k.d, k.f)
		constant := rest.Sub(rest.Mul(square, rest), e.Mul(e, e))
		r := s.ring
		if constant.Sign() == 0 {
			// D·X² = Y² with D no square: both are 0.
			x := r.Sum(r.Scale(r.Var(k.x), number.FromBigInt(new(big.Int).Lsh(k.a, 1))), r.Scale(r.Var(k.y), number.FromBigInt(k.b)), r.Const(number.FromBigInt(k.d)))
			e2 := new(big.Int).Mul(k.b, k.d)
			e2.Sub(e2, new(big.Int).Lsh(new(big.Int).Mul(k.a, k.e), 1))
			y := r.Add(r.Scale(r.Var(k.y), number.FromBigInt(square)), r.Const(number.FromBigInt(e2)))
			q := p.replaced(k.cond, poly.Condition{P: x, Rel: poly.Eq})
			return true, s.solve(q.and(poly.Condition{P: y, Rel: poly.Eq}))
		}
		if !s.pellAlone(p, k) {
			continue
		}
		if x, y, ok := s.firstSolution(p, k); ok {
			if s.noting(p) {
				s.note("%s has the solution %s and a form of positive discriminant %s, no square: it has infinitely many", s.equation(p, k.cond), TupleText([]*big.Int{x, y}), square)
			}
			return true, s.addFamily(family{back: p.back, conds: p.conds, slot: -1})
		}
	}
	return false, false
}

// pellAlone reports that the other conditions keep infinitely many of the
// solutions: there are none, or the signs of the slots are free to choose and
// only lower bounds of single slots are asked.
func (s *search) pellAlone(p *problem, k curve) bool {
	if len(p.conds) == 1 {
		return true
	}
	if k.b.Sign() != 0 || k.d.Sign() != 0 || k.e.Sign() != 0 {
		return false
	}
	for i, c := range p.conds {
		if i == k.cond {
			continue
		}
		v, ok := s.ring.OnlyVar(c.P)
		if !ok || c.Rel != poly.Le || c.P.Degree() != 1 || v != k.x && v != k.y || c.P.LeadCoef().Sign() > 0 {
			return false
		}
	}
	return true
}

// firstSolution looks for a solution of the equation with small x.
func (s *search) firstSolution(p *problem, k curve) (x, y *big.Int, ok bool) {
	f := p.conds[k.cond].P
	for i := int64(0); i <= pellReach; i++ {
		for _, i := range [2]int64{i, -i} {
			q, ok := s.ring.ToUni(s.ring.Eval(f, k.x, number.Int(i)), k.y)
			if !ok {
				return nil, nil, false
			}
			runs, ok := onevar.IntegersWhere(q, poly.Eq, s.m)
			if !ok {
				return nil, nil, false
			}
			if len(runs) > 0 && runs.IsFinite() {
				return big.NewInt(i), runs[0].Lo, true
			}
		}
	}
	return nil, nil, false
}
