package squares

import (
	"fmt"
	"math/big"

	"squaremark/algebra/budget"
	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// maxSurds bounds the square roots that are written as variables.
const maxSurds = 2

// surds is a conjunction with each square root √d among its coefficients
// written as a variable w with w² = d and w > 0, so that proofs are looked for
// over the rationals.
type surds struct {
	given  *evidence.Conjunction
	ring   *poly.Ring // the given variables, then one for each root
	lifted *evidence.Conjunction
	radix  []number.Num // d
	roots  []number.Num // √d
}

// newSurds fails when there is no square root, or too many.
func newSurds(c *evidence.Conjunction, m *budget.Meter) (*surds, bool) {
	s := &surds{given: c}
	seen := map[string]bool{}
	for _, cond := range c.Conds {
		c.Ring.Each(cond.P, func(_ []uint8, k number.Num) bool {
			for _, d := range k.Radicands() {
				if !seen[d.String()] {
					seen[d.String()] = true
					s.add(d)
				}
			}
			return len(s.radix) <= maxSurds
		})
	}
	if len(s.radix) == 0 || len(s.radix) > maxSurds {
		return nil, false
	}
	names := c.Ring.Names()
	for _, d := range s.radix {
		names = append(names, fmt.Sprintf("√(%s)", d))
	}
	s.ring = poly.NewRing(names, m)
	s.lifted = &evidence.Conjunction{Ring: s.ring}
	for _, cond := range c.Conds {
		s.lifted.Conds = append(s.lifted.Conds, poly.Condition{P: s.lift(cond.P), Rel: cond.Rel})
	}
	for i, d := range s.radix {
		w := s.ring.Var(c.Ring.Len() + i)
		s.lifted.Conds = append(s.lifted.Conds,
			poly.Condition{P: s.ring.Sub(s.ring.Square(w), s.ring.Const(d)), Rel: poly.Eq},
			poly.Condition{P: w, Rel: poly.Gt})
	}
	return s, !m.Exhausted()
}

func (s *surds) add(d *big.Int) {
	radix := number.FromBigInt(d)
	root, _ := radix.Sqrt() // d is squarefree
	s.radix, s.roots = append(s.radix, radix), append(s.roots, root)
}

// lift writes the roots in the coefficients as variables.
func (s *surds) lift(p poly.Poly) poly.Poly {
	n := s.given.Ring.Len()
	var parts []poly.Poly
	s.given.Ring.Each(p, func(exps []uint8, c number.Num) bool {
		powers := make([]int, s.ring.Len())
		for i, e := range exps {
			powers[i] = int(e)
		}
		parts = append(parts, s.ring.Monomial(c.Coefficient(number.Int(1)), powers))
		for i, d := range s.radix {
			powers[n+i] = 1
			parts = append(parts, s.ring.Monomial(c.Coefficient(d), powers))
			powers[n+i] = 0
		}
		return true
	})
	return s.ring.Sum(parts...)
}

// lower puts the roots back in.
func (s *surds) lower(r *poly.Ring, p poly.Poly) poly.Poly {
	n := r.Len()
	var parts []poly.Poly
	s.ring.Each(p, func(exps []uint8, c number.Num) bool {
		powers := make([]int, n)
		for i := range powers {
			powers[i] = int(exps[i])
		}
		for i, root := range s.roots {
			c = c.Mul(root.Pow(int(exps[n+i])))
		}
		parts = append(parts, r.Monomial(c, powers))
		return true
	})
	return r.Sum(parts...)
}

// refutation turns one of the lifted conjunction into one of the given. It
// fails where a root was solved for.
func (s *surds) refutation(r *poly.Ring, x evidence.Refutation) (evidence.Refutation, bool) {
	switch x := x.(type) {
	case *evidence.Combination:
		return s.combination(r, x), true
	case *evidence.Cases:
		out := &evidence.Cases{P: s.lower(r, x.P)}
		var ok1, ok2, ok3 bool
		out.Neg, ok1 = s.refutation(r, x.Neg)
		out.Zero, ok2 = s.refutation(r, x.Zero)
		out.Pos, ok3 = s.refutation(r, x.Pos)
		return out, ok1 && ok2 && ok3
	case *evidence.Substitution:
		k, own := s.cond(x.Cond)
		if !own || x.Var >= r.Len() {
			return nil, false
		}
		then, ok := s.refutation(r, x.Then)
		return &evidence.Substitution{Cond: k, Var: x.Var, Value: s.lower(r, x.Value), Then: then}, ok
	}
	return nil, false
}

// cond is the place of a condition in the given conjunction; own is false for
// those that define the roots.
func (s *surds) cond(k int) (place int, own bool) {
	n, more := len(s.given.Conds), 2*len(s.roots)
	switch {
	case k < n:
		return k, true
	case k < n+more:
		return k - n, false
	}
	return k - more, true
}

func (s *surds) combination(r *poly.Ring, x *evidence.Combination) *evidence.Combination {
	out := &evidence.Combination{}
	for _, t := range x.Terms {
		low := evidence.Term{Coef: t.Coef, Root: s.lower(r, t.Root)}
		for _, k := range t.Factors {
			if place, own := s.cond(k); own {
				low.Factors = append(low.Factors, place)
			} else {
				low.Coef = low.Coef.Mul(s.roots[place/2]) // w > 0
			}
		}
		for _, k := range t.NonZero {
			place, _ := s.cond(k)
			low.NonZero = append(low.NonZero, place)
		}
		out.Terms = append(out.Terms, low)
	}
	for _, m := range x.Multiples {
		if place, own := s.cond(m.Cond); own {
			out.Multiples = append(out.Multiples, evidence.Multiple{Cond: place, By: s.lower(r, m.By)})
		}
	}
	return out
}
