package squares

import (
	"slices"

	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// part is coef · root² · product, a term of a proof in the system's variables.
type part struct {
	coef number.Num
	root poly.Poly
	of   *product
}

// maxParts bounds the terms of a finished proof.
const maxParts = 400

// combination turns parts that add up to zero, modulo the equations, into a
// refutation of the given conjunction: back to the given variables, with the
// factors that were taken out put in again, and the multiples of equations
// worked out.
func (s *system) combination(parts []part, c *evidence.Conjunction) (*evidence.Combination, bool) {
	terms := make([]evidence.Term, len(parts))
	uses := make([][]int, len(parts)) // how often each fact occurs
	for k, p := range parts {
		root := p.root
		if s.back != nil {
			root = substituteAll(s.ring, root, s.back)
		}
		terms[k] = evidence.Term{Coef: p.coef, Root: root}
		for _, u := range p.of.unequals {
			terms[k].NonZero = append(terms[k].NonZero, s.unequals[u].cond)
		}
		uses[k] = make([]int, len(s.facts))
		for _, f := range p.of.facts {
			uses[k][f]++
		}
	}
	for f := range s.facts {
		if s.facts[f].cond == isOne {
			continue
		}
		var ok bool
		if terms, uses, ok = s.putBack(c, f, terms, uses); !ok {
			return nil, false
		}
	}
	strict := false
	for _, t := range terms {
		strict = strict || positive(c, t)
	}
	if !strict || s.ring.Meter().Exhausted() {
		return nil, false
	}
	out := &evidence.Combination{Terms: terms}
	return out, s.addMultiples(out, c)
}

// putBack writes the uses of fact f as uses of its condition.
func (s *system) putBack(c *evidence.Conjunction, f int, terms []evidence.Term, uses [][]int) ([]evidence.Term, [][]int, bool) {
	used := false
	for _, u := range uses {
		used = used || u[f] > 0
	}
	if !used {
		return terms, uses, true
	}
	by := s.facts[f].by
	squared := by != nil && s.squaring(c, f, terms, uses)
	var out []evidence.Term
	var outUses [][]int
	for k, t := range terms {
		n := uses[k][f]
		if by == nil {
			for range n {
				t.Factors = append(t.Factors, s.facts[f].cond)
			}
			out, outUses = append(out, t), append(outUses, uses[k])
			continue
		}
		// The condition is p·by: everything is multiplied by by, which one
		// factor p takes up; pairs of p go into the root. When squared,
		// everything is multiplied by by once more.
		for range n / 2 {
			t.Root = s.ring.Mul(t.Root, s.original[f])
		}
		if n%2 == 1 {
			t.Factors = append(append([]int(nil), t.Factors...), s.facts[f].cond)
		}
		if squared && n%2 == 0 {
			if apart := s.facts[f].apart; apart != nil {
				t.NonZero = append(append([]int(nil), t.NonZero...), apart...)
			} else {
				t.Root = s.ring.Mul(t.Root, s.facts[f].taken)
			}
		}
		if (n%2 == 1) != squared {
			out, outUses = append(out, t), append(outUses, uses[k])
			continue
		}
		for _, u := range s.times([]evidence.Term{t}, by) {
			out, outUses = append(out, u), append(outUses, uses[k])
		}
	}
	return out, outUses, len(out) <= maxParts
}

// squaring reports that multiplying by by twice is better: its square is one
// term, and when it consists of what is not zero that term is positive even
// where by is not.
func (s *system) squaring(c *evidence.Conjunction, f int, terms []evidence.Term, uses [][]int) bool {
	with, positiveWith := 0, false
	for k, t := range terms {
		if n := uses[k][f]; n%2 == 1 {
			with++
			positiveWith = positiveWith || n == 1 && s.facts[f].strict && positive(c, t)
		}
	}
	apart := s.facts[f].apart != nil
	if !anyPositive(c, s.facts[f].by) {
		return apart
	}
	return (apart || positiveWith) && 2*with < len(terms)
}

// anyPositive reports that one of the terms is positive.
func anyPositive(c *evidence.Conjunction, terms []evidence.Term) bool {
	return slices.ContainsFunc(terms, func(t evidence.Term) bool { return positive(c, t) })
}

// positive reports that the term is positive, not only non-negative, under
// the conditions.
func positive(c *evidence.Conjunction, t evidence.Term) bool {
	root, constant := t.Root.IsConst()
	if !constant || root.IsZero() {
		return false
	}
	for _, k := range t.Factors {
		if !c.Conds[k].Rel.Strict() {
			return false
		}
	}
	return true
}

// addMultiples adds the multiples of equations that make the sum zero. It
// reports false when it is not zero modulo the equations as they are reduced.
func (s *system) addMultiples(out *evidence.Combination, c *evidence.Conjunction) bool {
	var sum poly.Poly
	equations := append(append([]equation(nil), s.equations...), s.normed...)
	if len(equations) == 0 {
		return true
	}
	for _, t := range out.Terms {
		v := s.ring.Scale(s.ring.Mul(t.Root, t.Root), t.Coef)
		for _, k := range t.Factors {
			p := c.Conds[k].P
			if rel := c.Conds[k].Rel; rel == poly.Lt || rel == poly.Le {
				p = s.ring.Neg(p)
			}
			v = s.ring.Mul(v, p)
		}
		for _, k := range t.NonZero {
			v = s.ring.Mul(v, s.ring.Square(c.Conds[k].P))
		}
		sum = s.ring.Add(sum, v)
	}
	// Each monomial is reduced by itself, in the system's variables, as in
	// the table: reduction is not additive unless the equations form a Gröbner
	// basis.
	ideal := s.generators()
	if s.normed != nil {
		ideal = generators(s.ring, equations)
	}
	basis := polys(ideal)
	if s.forward != nil {
		sum = substituteAll(s.ring, sum, s.forward)
	}
	by := make([]poly.Poly, len(basis))
	var rest poly.Poly
	s.ring.Each(sum, func(exps []uint8, coef number.Num) bool {
		powers := make([]int, len(exps))
		for i, e := range exps {
			powers[i] = int(e)
		}
		qs, r := s.ring.Reduce(s.ring.Monomial(coef, powers), basis)
		for k, q := range qs {
			by[k] = s.ring.Add(by[k], q)
		}
		rest = s.ring.Add(rest, r)
		return !s.ring.Meter().Exhausted()
	})
	if !rest.IsZero() || s.ring.Meter().Exhausted() {
		return false
	}
	for k, e := range equations {
		var q poly.Poly
		for i, g := range ideal {
			q = s.ring.Add(q, s.ring.Mul(by[i], g.from[k]))
		}
		if q.IsZero() {
			continue
		}
		if s.back != nil {
			q = substituteAll(s.ring, q, s.back)
		}
		out.Multiples = append(out.Multiples, evidence.Multiple{Cond: e.cond, By: s.ring.Neg(q)})
	}
	return true
}
