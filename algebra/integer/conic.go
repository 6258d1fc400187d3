package integer

import (
	"math/big"

	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// curve is a·x² + b·xy + c·y² + d·x + e·y + f = 0 over the integers.
type curve struct {
	cond             int
	x, y             int // slots
	a, b, c, d, e, f *big.Int
}

// curves lists the equations of degree 2 in two slots.
func (s *search) curves(p *problem) []curve {
	var list []curve
	r := s.ring
	for i, cond := range p.conds {
		vars := r.Vars(cond.P)
		if cond.Rel != poly.Eq || cond.P.Degree() != 2 || len(vars) != 2 || !cond.P.IsRational() {
			continue
		}
		coef := func(i, j int) *big.Int {
			exps := make([]int, r.Len())
			exps[vars[0]], exps[vars[1]] = i, j
			return r.Coef(cond.P, exps).Floor()
		}
		list = append(list, curve{
			i, vars[0], vars[1],
			coef(2, 0), coef(1, 1), coef(0, 2), coef(1, 0), coef(0, 1), coef(0, 0),
		})
	}
	return list
}

// discriminant is b² − 4ac.
func (k curve) discriminant() *big.Int { return disc(k.a, k.b, k.c) }

// disc is v² − 4uw.
func disc(u, v, w *big.Int) *big.Int {
	t := new(big.Int).Mul(u, w)
	return t.Sub(new(big.Int).Mul(v, v), t.Lsh(t, 2))
}

// conic takes an equation of degree 2 in two slots whose discriminant D =
// b² − 4ac is a square other than 0: it is a product of two linear forms
// equal to a constant K, so that the forms are divisors of K, or one of them
// is zero. Examples: xy = 12, x² − y² = 45, (x − 3)(y − 3) = 9.
//
// For a ≠ 0, with X = 2ax + by + d and Y = Dy + E, E = bd − 2ae: the equation
// times 4aD reads D·X² − Y² = D·(d² − 4af) − E². Elementary.
func (s *search) conic(p *problem) (done, settled bool) {
	for _, k := range s.curves(p) {
		square := k.discriminant()
		if square.Sign() <= 0 {
			continue
		}
		root := new(big.Int).Sqrt(square)
		if new(big.Int).Mul(root, root).Cmp(square) != 0 {
			continue
		}
		left, right, constant := s.forms(k, square, root)
		if s.noting(p) {
			s.note("%s is (%s)*(%s) = %s", s.equation(p, k.cond), s.slotText(p, left), s.slotText(p, right), constant)
		}
		if constant.Sign() == 0 {
			for _, form := range [2]poly.Poly{left, right} {
				if !s.solve(p.replaced(k.cond, poly.Condition{P: form, Rel: poly.Eq})) {
					return true, false
				}
			}
			return true, true
		}
		divisors, ok := s.divisors(new(big.Int).Abs(constant))
		if !ok {
			return true, s.giveUp("the number " + constant.String() + " was not factored")
		}
		for _, u := range divisors {
			for _, u := range [2]*big.Int{u, new(big.Int).Neg(u)} {
				if !s.m.Spend(costRange) {
					return true, false
				}
				x, y, whole := s.meet(k, left, right, u, new(big.Int).Quo(constant, u))
				if whole && !s.solve(s.with(s.with(p, k.x, x), k.y, y)) {
					return true, false
				}
			}
		}
		return true, true
	}
	return false, false
}

// meet solves left = u, right = v for the slots of k by Cramer's rule; whole
// is false when the solution is not one of integers.
func (s *search) meet(k curve, left, right poly.Poly, u, v *big.Int) (x, y *big.Int, whole bool) {
	coef := func(f poly.Poly, slot int) *big.Int {
		exps := make([]int, s.ring.Len())
		if slot >= 0 {
			exps[slot] = 1
		}
		return s.ring.Coef(f, exps).Floor()
	}
	cross := func(a, b, c, d *big.Int) *big.Int {
		p := new(big.Int).Mul(a, d)
		return p.Sub(p, new(big.Int).Mul(b, c))
	}
	a, b, c, d := coef(left, k.x), coef(left, k.y), coef(right, k.x), coef(right, k.y)
	u, v = new(big.Int).Sub(u, coef(left, -1)), new(big.Int).Sub(v, coef(right, -1))
	det := cross(a, b, c, d)
	if det.Sign() == 0 { // only when the meter is exhausted: the forms are independent
		return nil, nil, false
	}
	rest := new(big.Int)
	if x, _ = new(big.Int).QuoRem(cross(u, b, v, d), det, rest); rest.Sign() != 0 {
		return nil, nil, false
	}
	y, _ = new(big.Int).QuoRem(cross(a, u, c, v), det, rest)
	return x, y, rest.Sign() == 0
}

func (s *search) equation(p *problem, cond int) string {
	return s.conditions(&problem{conds: p.conds[cond : cond+1], back: p.back})
}

func (s *search) slotText(p *problem, f poly.Poly) string {
	_, names, _ := s.named(family{back: p.back, slot: -1})
	return poly.NewRing(names, s.m).String(f)
}

// forms gives the two linear forms and the constant that is their product.
func (s *search) forms(k curve, square, root *big.Int) (left, right poly.Poly, constant *big.Int) {
	r := s.ring
	linear := func(a, b, c *big.Int) poly.Poly {
		return r.Sum(r.Scale(r.Var(k.x), number.FromBigInt(a)), r.Scale(r.Var(k.y), number.FromBigInt(b)), r.Const(number.FromBigInt(c)))
	}
	zero := new(big.Int)
	if k.a.Sign() == 0 && k.c.Sign() == 0 {
		// (bx + e)(by + d) = ed − bf
		t := new(big.Int).Mul(k.e, k.d)
		return linear(k.b, zero, k.e), linear(zero, k.b, k.d), t.Sub(t, new(big.Int).Mul(k.b, k.f))
	}
	if k.a.Sign() == 0 {
		k.x, k.y, k.a, k.c, k.d, k.e = k.y, k.x, k.c, k.a, k.e, k.d
	}
	mul := func(a, b *big.Int) *big.Int { return new(big.Int).Mul(a, b) }
	twoA := new(big.Int).Lsh(k.a, 1)
	e := new(big.Int).Sub(mul(k.b, k.d), mul(twoA, k.e)) // E
	rest := disc(k.a, k.d, k.f)                          // d² − 4af
	constant = rest.Sub(mul(square, rest), mul(e, e))
	// root·X ∓ Y
	x := linear(mul(root, twoA), mul(root, k.b), mul(root, k.d))
	y := linear(zero, square, e)
	left, right = r.Sub(x, y), r.Add(x, y)
	// Take common factors out of both forms.
	for _, f := range [2]*poly.Poly{&left, &right} {
		g := r.Content(r.Sub(*f, r.Const(r.Coef(*f, nil)))).Abs().Floor()
		g.GCD(nil, nil, g, r.Coef(*f, nil).Abs().Floor())
		if q, rem := new(big.Int).QuoRem(constant, g, new(big.Int)); rem.Sign() == 0 && g.Sign() > 0 {
			inv, _ := number.FromBigInt(g).Inv()
			*f, constant = r.Scale(*f, inv), q
		}
	}
	return left, right, constant
}

// divisors lists the positive divisors of n > 0 by trial division, paid for
// with the meter; false when it cannot be paid or n is beyond machine words.
func (s *search) divisors(n *big.Int) ([]*big.Int, bool) {
	if !n.IsInt64() {
		return nil, false
	}
	list := []*big.Int{big.NewInt(1)}
	rest := n.Int64()
	for d := int64(2); rest > 1; d += 1 + d%2 {
		if !s.m.Spend(1) {
			return nil, false
		}
		if d > rest/d {
			d = rest
		}
		old, power := list, big.NewInt(1)
		for rest%d == 0 {
			rest /= d
			power = new(big.Int).Mul(power, big.NewInt(d))
			for _, k := range old {
				list = append(list, new(big.Int).Mul(k, power))
			}
		}
	}
	return list, true
}
