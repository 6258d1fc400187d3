package integer

import (
	"math/big"

	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// problem is a conjunction over integer variables, the slots of the search's
// ring. A change of variables renames slots; back tells what the unknowns are
// in terms of them.
type problem struct {
	conds []poly.Condition // normal: integer coefficients where rational, Eq, Ne, Le (Lt only if irrational)
	back  []poly.Poly
	path  string // which changes were tried, so that none is repeated
	depth int
}

// verdict of one condition.
type verdict int8

const (
	open verdict = iota
	always
	never
)

// normal brings a condition over integers into the form of problem.conds:
// one with rational coefficients gets coprime integer ones, P < 0 becomes
// P + 1 ≤ 0, and the constant is rounded: 2x − 3 ≤ 0 becomes x − 1 ≤ 0, and
// 2x − 3 = 0 never holds.
func (s *search) normal(c poly.Condition) (poly.Condition, verdict) {
	r := s.ring
	if v, ok := c.P.IsConst(); ok {
		if c.Rel.Holds(v.Sign()) {
			return c, always
		}
		return c, never
	}
	if c.Rel == poly.Gt || c.Rel == poly.Ge {
		c = poly.Condition{P: r.Neg(c.P), Rel: c.Rel.Flip()}
	}
	if !c.P.IsRational() {
		return c, open
	}
	inv, _ := r.Content(c.P).Abs().Inv() // not the zero polynomial
	c.P = r.Scale(c.P, inv)
	if c.Rel == poly.Lt {
		c = poly.Condition{P: r.Add(c.P, r.Int(1)), Rel: poly.Le}
	}
	k := r.Coef(c.P, nil)
	rest := r.Sub(c.P, r.Const(k))
	g := r.Content(rest).Abs()
	if g.IsOne() {
		return c, open
	}
	inv, _ = g.Inv()
	k = k.Mul(inv)
	switch {
	case c.Rel == poly.Le: // Q ≤ −k/g
		k = number.FromBigInt(k.Ceil())
	case k.IsInteger():
	case c.Rel == poly.Eq:
		return c, never
	default:
		return c, always
	}
	c.P = r.Add(r.Scale(rest, inv), r.Const(k))
	return c, open
}

// ready makes the conditions of p normal and splits equations with square
// roots: as these are independent over Q, the part at each root is zero by
// itself. It reports false when a condition never holds.
func (s *search) ready(p *problem) bool {
	out := make([]poly.Condition, 0, len(p.conds))
	add := func(c poly.Condition) bool {
		c, v := s.normal(c)
		if v == open && !s.listed(out, c) {
			out = append(out, c)
		}
		return v != never
	}
	for _, c := range p.conds {
		if c.Rel == poly.Eq && !c.P.IsRational() {
			for _, part := range s.rationalParts(c.P) {
				if !add(poly.Condition{P: part, Rel: poly.Eq}) {
					return false
				}
			}
			continue
		}
		if !add(c) {
			return false
		}
	}
	p.conds = out
	return true
}

func (s *search) listed(list []poly.Condition, c poly.Condition) bool {
	for _, d := range list {
		if d.Rel == c.Rel && s.ring.Equal(d.P, c.P) {
			return true
		}
	}
	return false
}

func (s *search) rationalParts(p poly.Poly) []poly.Poly {
	r := s.ring
	radicands := []number.Num{number.Int(1)}
	r.Each(p, func(_ []uint8, c number.Num) bool {
		for _, d := range c.Radicands() {
			radicands = append(radicands, number.FromBigInt(d))
		}
		return true
	})
	var parts []poly.Poly
	for i, d := range radicands {
		if known(radicands[:i], d) {
			continue
		}
		var part poly.Poly
		r.Each(p, func(exps []uint8, c number.Num) bool {
			part = r.Add(part, r.Monomial(c.Coefficient(d), powers(exps)))
			return true
		})
		parts = append(parts, part)
	}
	return parts
}

func known(list []number.Num, d number.Num) bool {
	for _, e := range list {
		if e.Equal(d) {
			return true
		}
	}
	return false
}

func powers(exps []uint8) []int {
	out := make([]int, len(exps))
	for i, e := range exps {
		out[i] = int(e)
	}
	return out
}

// with is p with value k for slot v.
func (s *search) with(p *problem, v int, k *big.Int) *problem {
	return s.changed(p, func(f poly.Poly) poly.Poly { return s.ring.Eval(f, v, number.FromBigInt(k)) })
}

// substituted is p with g for slot v.
func (s *search) substituted(p *problem, v int, g poly.Poly) *problem {
	return s.changed(p, func(f poly.Poly) poly.Poly { return s.ring.Subst(f, v, g) })
}

func (s *search) changed(p *problem, change func(poly.Poly) poly.Poly) *problem {
	q := &problem{depth: p.depth + 1, path: p.path}
	q.conds = make([]poly.Condition, len(p.conds))
	for i, c := range p.conds {
		q.conds[i] = poly.Condition{P: change(c.P), Rel: c.Rel}
	}
	q.back = make([]poly.Poly, len(p.back))
	for i, f := range p.back {
		q.back[i] = change(f)
	}
	return q
}

// and is p with one more condition.
func (p *problem) and(c poly.Condition) *problem {
	q := &problem{depth: p.depth + 1, path: p.path, back: p.back}
	q.conds = append(append(make([]poly.Condition, 0, len(p.conds)+1), p.conds...), c)
	return q
}

// replaced is p with c in the place of condition i.
func (p *problem) replaced(i int, c poly.Condition) *problem {
	q := p.and(c)
	last := len(q.conds) - 1
	q.conds[i] = q.conds[last]
	q.conds = q.conds[:last]
	return q
}

// slots lists the slots that occur in the conditions, rising.
func (s *search) slots(p *problem) []int {
	seen := make([]bool, s.ring.Len())
	for _, c := range p.conds {
		for _, v := range s.ring.Vars(c.P) {
			seen[v] = true
		}
	}
	var list []int
	for v, in := range seen {
		if in {
			list = append(list, v)
		}
	}
	return list
}
