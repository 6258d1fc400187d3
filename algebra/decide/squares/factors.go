package squares

import (
	"slices"

	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// Bounds on what is divided by conditions, and on what repeated factors are
// looked for in.
const (
	maxDivideDegree = 60
	maxPowerDegree  = 14
	maxPowerTerms   = 300
)

// takeOutFactors writes the polynomials of the facts as known non-negative
// factors times a rest: even powers, the polynomials of other conditions, and
// polynomials whose terms are all non-negative.
func (s *system) takeOutFactors(c *evidence.Conjunction) {
	signs := s.variableSigns()
	var whole []fact
	defer func() { s.facts = append(s.facts, whole...) }()
	for i := range s.facts {
		f := &s.facts[i]
		if d := f.p.Degree(); d < 2 || d > maxDivideDegree || f.cond == isOne {
			continue
		}
		before := *f
		s.takeConditions(i, signs)
		if f.p.Degree() <= maxPowerDegree && f.p.Len() <= maxPowerTerms {
			s.takePowers(i, signs)
		}
		if f.by != nil && f.apart == nil && !f.strict && !anyPositive(c, f.by) {
			// Where the factor is zero the rest may have any sign.
			whole = append(whole, before)
		}
	}
}

// takeConditions divides fact i by the polynomials of other conditions.
func (s *system) takeConditions(i int, signs []variableSign) {
	f := &s.facts[i]
	one := number.Int(1)
	for _, g := range s.unequals {
		if g.p.Degree() < 1 {
			continue
		}
		terms, sign := s.signByTerms(g.p, signs)
		for f.p.Degree() >= g.p.Degree() {
			q, ok := s.ring.DivExact(f.p, g.p)
			if !ok || s.ring.Meter().Exhausted() {
				break
			}
			if sign != 0 {
				if sign < 0 {
					q = s.ring.Neg(q)
				}
				apart := f.by == nil || f.apart != nil
				s.take(f, q, terms)
				if apart {
					f.apart = append(f.apart, g.cond)
				}
				continue
			}
			if q, ok = s.ring.DivExact(q, g.p); !ok {
				break
			}
			s.take(f, q, []evidence.Term{{Coef: one, Root: s.ring.Int(1), NonZero: []int{g.cond}}})
			f.apart = nil
		}
	}
	for j, g := range s.facts {
		if j == i || g.p.Degree() < 1 || g.by != nil || g.cond == isOne {
			continue
		}
		for f.p.Degree() > g.p.Degree() {
			q, ok := s.ring.DivExact(f.p, g.p)
			if !ok || s.ring.Meter().Exhausted() {
				break
			}
			s.take(f, q, []evidence.Term{{Coef: one, Root: s.ring.Int(1), Factors: []int{g.cond}}})
			f.apart = nil
		}
	}
}

// takePowers takes even powers out of fact i, and factors of known sign.
func (s *system) takePowers(i int, signs []variableSign) {
	f := &s.facts[i]
	one := number.Int(1)
	for _, factor := range s.ring.SquareFree(f.p) {
		if s.ring.Meter().Exhausted() {
			return
		}
		if even := factor.Mult / 2; even > 0 {
			root := s.ring.Pow(factor.Base, even)
			q, ok := s.ring.DivExact(f.p, s.ring.Square(root))
			if !ok {
				continue
			}
			s.take(f, q, []evidence.Term{{Coef: one, Root: root}})
			f.apart = nil
		}
		if factor.Mult%2 == 0 || factor.Base.Degree() >= f.p.Degree() {
			continue
		}
		if terms, sign := s.signByTerms(factor.Base, signs); sign != 0 {
			q, ok := s.ring.DivExact(f.p, factor.Base)
			if !ok {
				continue
			}
			if sign < 0 {
				q = s.ring.Neg(q)
			}
			s.take(f, q, terms)
			f.apart = nil
		}
	}
}

// take leaves rest of f, the factor taken out being the sum of terms.
func (s *system) take(f *fact, rest poly.Poly, terms []evidence.Term) {
	factor, ok := s.ring.DivExact(f.p, rest)
	if !ok {
		return // the meter is exhausted
	}
	if f.by == nil {
		f.taken = s.ring.Int(1)
	}
	f.p, f.by, f.taken = rest, s.times(f.by, terms), s.ring.Mul(f.taken, factor)
}

// times is the product of two sums of terms; nil is 1.
func (s *system) times(a, b []evidence.Term) []evidence.Term {
	if a == nil {
		return b
	}
	if b == nil {
		return a
	}
	out := make([]evidence.Term, 0, len(a)*len(b))
	for _, t := range a {
		for _, u := range b {
			out = append(out, evidence.Term{
				Coef:    t.Coef.Mul(u.Coef),
				Root:    s.ring.Mul(t.Root, u.Root),
				Factors: append(append([]int(nil), t.Factors...), u.Factors...),
				NonZero: append(append([]int(nil), t.NonZero...), u.NonZero...),
			})
		}
	}
	return out
}

// variableSign says that a variable, times sign, is ≥ 0 by condition cond; 0
// says nothing.
type variableSign struct {
	sign, cond int
	strict     bool
}

func (s *system) variableSigns() []variableSign {
	signs := make([]variableSign, s.ring.Len())
	for _, f := range s.facts {
		if f.p.Degree() != 1 || f.p.Len() != 1 || f.cond == isOne {
			continue
		}
		v, _ := s.ring.OnlyVar(f.p)
		if signs[v].sign == 0 || f.strict && !signs[v].strict {
			signs[v] = variableSign{f.p.LeadCoef().Sign(), f.cond, f.strict}
		}
	}
	return signs
}

// signByTerms is 1 or −1 where all terms of p have that sign, as products of
// even powers and of variables of known sign, and ±p as a sum of such terms;
// otherwise 0.
func (s *system) signByTerms(p poly.Poly, signs []variableSign) (terms []evidence.Term, sign int) {
	one := number.Int(1)
	s.ring.Each(p, func(exps []uint8, c number.Num) bool {
		t := evidence.Term{Coef: c.Abs()}
		here := c.Sign()
		half := make([]int, len(exps))
		for v, e := range exps {
			if signs[v].strict && s.unitFactor(signs[v].cond) {
				// Factors keep the term positive where a square would not.
				if e%2 == 1 {
					here *= signs[v].sign
				}
				t.Factors = append(t.Factors, slices.Repeat([]int{signs[v].cond}, int(e))...)
				continue
			}
			half[v] = int(e) / 2
			if e%2 == 0 {
				continue
			}
			if signs[v].sign == 0 {
				sign = 0
				return false
			}
			here *= signs[v].sign
			t.Factors = append(t.Factors, signs[v].cond)
		}
		// A condition c·v ≥ 0 has the polynomial c·v: its factor is taken out
		// where the term is used, so only unit factors are passed on here.
		for _, k := range t.Factors {
			if !s.unitFactor(k) {
				sign = 0
				return false
			}
		}
		t.Root = s.ring.Monomial(one, half)
		if terms = append(terms, t); sign == 0 {
			sign = here
		}
		if sign != here {
			sign = 0
			return false
		}
		return true
	})
	if sign == 0 || len(terms) != p.Len() {
		return nil, 0
	}
	return terms, sign
}

// unitFactor reports that the fact of condition cond is ±v.
func (s *system) unitFactor(cond int) bool {
	for _, f := range s.facts {
		if f.cond == cond {
			return f.p.LeadCoef().Abs().IsOne()
		}
	}
	return false
}
