package integer

import (
	"math/big"

	"squaremark/algebra/decide/onevar"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/poly/uni"
)

// divisor takes an equation (q·v − r)·G + K = 0 with a slot v and a constant
// K: q·v − r divides a power of q times K, so that v has finitely many
// values, or, when K = 0, one of the factors is zero. With two slots a linear
// factor of the terms of highest degree is made a slot first: x³ + y³ = 35 is
// (x + y)·(x² − xy + y²) = 35. Elementary.
func (s *search) divisor(p *problem) (done, settled bool) {
	for i, c := range p.conds {
		if c.Rel != poly.Eq || !c.P.IsRational() {
			continue
		}
		for _, v := range s.ring.Vars(c.P) {
			if d, ok := s.division(c.P, v); ok {
				return true, s.divides(p, i, d)
			}
		}
		if done, settled := s.aligned(p, i); done {
			return true, settled
		}
	}
	return false, false
}

// division tells that f = (q·v − r)·G + a constant, which is k/q^power.
type division struct {
	v    int
	q, r *big.Int
	k    *big.Int
}

// division looks at the coefficients of f as a polynomial in the slots other
// than v: a common rational root of all but the constant one is r/q.
func (s *search) division(f poly.Poly, v int) (division, bool) {
	r := s.ring
	groups := map[string]uni.Uni{}
	constant := ""
	r.Each(f, func(exps []uint8, c number.Num) bool {
		key := append([]uint8(nil), exps...)
		key[v] = 0
		f := groups[string(key)]
		for len(f) <= int(exps[v]) {
			f = append(f, number.Num{})
		}
		f[exps[v]] = c
		groups[string(key)] = f
		return true
	})
	constant = string(make([]uint8, r.Len()))
	var common uni.Uni
	for key, g := range groups {
		if key != constant {
			common = uni.GCD(common, g, s.m)
		}
	}
	if common.Degree() < 1 {
		return division{}, false
	}
	roots, err := onevar.Roots(common, s.m)
	if err != nil {
		return division{}, false
	}
	for _, x := range roots {
		n, ok := x.Num()
		if !ok || !n.IsRational() {
			continue
		}
		g := groups[constant]
		q := n.Denominator()
		k := g.Eval(n).Mul(q.Pow(max(g.Degree(), 0)))
		return division{v, q.Floor(), n.Numerator().Floor(), k.Floor()}, true
	}
	return division{}, false
}

func (s *search) divides(p *problem, i int, d division) bool {
	r := s.ring
	q, rest := number.FromBigInt(d.q), number.FromBigInt(d.r)
	form := r.Sub(r.Scale(r.Var(d.v), q), r.Const(rest))
	if s.noting(p) {
		s.note("%s: %s divides %s", s.equation(p, i), s.slotText(p, form), d.k)
	}
	if d.k.Sign() == 0 {
		other, ok := r.DivExact(p.conds[i].P, form)
		if !ok {
			return s.giveUp("a factor was lost")
		}
		return s.solve(p.replaced(i, poly.Condition{P: form, Rel: poly.Eq})) &&
			s.solve(p.replaced(i, poly.Condition{P: other, Rel: poly.Eq}))
	}
	divisors, ok := s.divisors(new(big.Int).Abs(d.k))
	if !ok {
		return s.giveUp("the number " + d.k.String() + " was not factored")
	}
	for _, k := range divisors {
		for _, k := range [2]*big.Int{k, new(big.Int).Neg(k)} {
			v, rem := new(big.Int).QuoRem(new(big.Int).Add(k, d.r), d.q, new(big.Int))
			if rem.Sign() == 0 && !s.solve(s.with(p, d.v, v)) {
				return false
			}
		}
	}
	return true
}

// aligned makes a rational linear factor of the terms of highest degree a
// slot, if that leads to a division.
func (s *search) aligned(p *problem, i int) (done, settled bool) {
	f := p.conds[i].P
	slots := s.ring.Vars(f)
	if len(slots) != 2 || f.Degree() < 3 {
		return false, false
	}
	flat, ok := s.ring.ToUni(s.ring.Eval(s.top(f), slots[1], number.Int(1)), slots[0])
	if !ok {
		return false, false
	}
	roots, err := onevar.Roots(flat, s.m)
	if err != nil {
		return false, false
	}
	for _, x := range roots {
		n, ok := x.Num()
		if !ok || !n.IsRational() || n.IsZero() {
			continue // slots themselves were tried
		}
		// x = n·y, the form q·x − r·y
		u, _ := columnForm(matrix{{n.Denominator().Floor(), n.Numerator().Neg().Floor()}}, 2)
		turned := s.turned(p, slots, u)
		if d, ok := s.division(turned.conds[i].P, slots[0]); ok {
			return true, s.divides(turned, i, d)
		}
	}
	return false, false
}
