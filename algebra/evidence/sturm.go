package evidence

import (
	"errors"
	"fmt"

	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// dense is a polynomial in one variable, coefficients from low to high, the
// last one not zero. The kernel keeps its own few lines of arithmetic so that
// it shares none with the search for roots.
type dense []number.Num

func inOneVariable(r *poly.Ring, f poly.Poly, v int) (dense, error) {
	parts := r.Coeffs(f, v)
	d := make(dense, len(parts))
	for i, p := range parts {
		c, ok := p.IsConst()
		if !ok {
			return nil, errors.New("a condition concerns another variable too")
		}
		d[i] = c
	}
	return d.trim(), nil
}

func (d dense) trim() dense {
	for len(d) > 0 && d[len(d)-1].IsZero() {
		d = d[:len(d)-1]
	}
	return d
}

func (d dense) at(x number.Num) number.Num {
	var v number.Num
	for i := len(d) - 1; i >= 0; i-- {
		v = v.Mul(x).Add(d[i])
	}
	return v
}

func (d dense) derivative() dense {
	if len(d) < 2 {
		return nil
	}
	e := make(dense, len(d)-1)
	for i := range e {
		e[i] = d[i+1].Mul(number.Int(int64(i + 1)))
	}
	return e
}

func (d dense) times(e dense) dense {
	if len(d) == 0 || len(e) == 0 {
		return nil
	}
	p := make(dense, len(d)+len(e)-1)
	for i, a := range d {
		for j, b := range e {
			p[i+j] = p[i+j].Add(a.Mul(b))
		}
	}
	return p
}

// rem is the remainder of d by e (e not zero), scaled by a positive number
// so that coefficients stay small.
func (d dense) rem(e dense) dense {
	r := append(dense(nil), d...)
	inv, _ := e[len(e)-1].Inv()
	for len(r) >= len(e) {
		q, shift := r[len(r)-1].Mul(inv), len(r)-len(e)
		for i := range e {
			r[shift+i] = r[shift+i].Sub(q.Mul(e[i]))
		}
		r = r[:len(r)-1].trim()
	}
	if len(r) > 0 {
		if inv, ok := r[len(r)-1].Abs().Inv(); ok {
			for i := range r {
				r[i] = r[i].Mul(inv)
			}
		}
	}
	return r
}

func gcd(d, e dense) dense {
	for len(e) > 0 {
		d, e = e, d.rem(e)
	}
	return d
}

// chain is a Sturm chain: f, f', and negated remainders.
type chain []dense

func chainOf(f dense) chain {
	c := chain{f}
	for g := f.derivative(); len(g) > 0; {
		c = append(c, g)
		r := c[len(c)-2].rem(g)
		for i := range r {
			r[i] = r[i].Neg()
		}
		g = r
	}
	return c
}

func changes(signs func(dense) int, c chain) int {
	n, last := 0, 0
	for _, f := range c {
		if s := signs(f); s != 0 {
			if last != 0 && s != last {
				n++
			}
			last = s
		}
	}
	return n
}

// between counts the distinct real roots in (lo, hi], for lo and hi that are
// not multiple roots (Sturm's theorem).
func (c chain) between(lo, hi number.Num) int {
	at := func(x number.Num) func(dense) int { return func(f dense) int { return f.at(x).Sign() } }
	return changes(at(lo), c) - changes(at(hi), c)
}

// all counts the distinct real roots.
func (c chain) all() int {
	high := func(f dense) int { return f[len(f)-1].Sign() }
	low := func(f dense) int {
		if len(f)%2 == 0 {
			return -f[len(f)-1].Sign()
		}
		return f[len(f)-1].Sign()
	}
	return changes(low, c) - changes(high, c)
}

func checkOneVariable(c *Conjunction, r *OneVariable) error {
	var fs []dense
	var rels []poly.Rel
	product := dense{number.Int(1)}
	for _, k := range r.Use {
		if k < 0 || k >= len(c.Conds) {
			return errors.New("it names a condition that is not there")
		}
		f, err := inOneVariable(c.Ring, c.Conds[k].P, r.Var)
		if err != nil {
			return err
		}
		fs, rels = append(fs, f), append(rels, c.Conds[k].Rel)
		if len(f) > 1 {
			product = product.times(f)
		}
	}
	if err := checkIsolation(product, r.Roots); err != nil {
		return err
	}
	false1 := func(sign func(dense) (int, error)) (bool, error) {
		for i, f := range fs {
			s, err := sign(f)
			if err != nil || !rels[i].Holds(s) {
				return true, err
			}
		}
		return false, nil
	}
	whole := c.IsWhole(r.Var)
	for i := 0; i <= len(r.Roots); i++ {
		x := sample(r.Roots, i)
		ok, _ := false1(func(f dense) (int, error) { return f.at(x).Sign(), nil })
		if ok || whole && i > 0 && i < len(r.Roots) && noInteger(r.Roots[i-1].Lo, r.Roots[i].Hi) {
			continue
		}
		return fmt.Errorf("all conditions hold at %s", x)
	}
	for _, root := range r.Roots {
		ok, err := false1(func(f dense) (int, error) {
			if root.Lo.Equal(root.Hi) {
				return f.at(root.Lo).Sign(), nil
			}
			return signAtRoot(f, product, root.Lo, root.Hi)
		})
		if err != nil {
			return err
		}
		if ok || whole && noInteger(root.Lo, root.Hi) && !(root.Lo.Equal(root.Hi) && root.Lo.IsInteger()) {
			continue
		}
		return fmt.Errorf("all conditions hold at the root from %s to %s", root.Lo, root.Hi)
	}
	return nil
}

// noInteger reports that no integer lies strictly between lo and hi.
func noInteger(lo, hi number.Num) bool {
	next := number.FromBigInt(lo.Floor()).Add(number.Int(1))
	return next.Cmp(hi) >= 0
}

// checkIsolation demands that the intervals are in order, do not overlap, and
// hold all distinct real roots of f, one each.
func checkIsolation(f dense, roots []Isolated) error {
	c := chainOf(f)
	if c.all() != len(roots) {
		return fmt.Errorf("%d real roots are listed, there are %d", len(roots), c.all())
	}
	for i, r := range roots {
		switch {
		case i > 0 && roots[i-1].Hi.Cmp(r.Lo) > 0, i > 0 && roots[i-1].Hi.Equal(r.Lo) && f.at(r.Lo).IsZero():
			return errors.New("the intervals overlap")
		case r.Lo.Equal(r.Hi):
			if !f.at(r.Lo).IsZero() {
				return fmt.Errorf("%s is not a root", r.Lo)
			}
		case r.Lo.Cmp(r.Hi) > 0, f.at(r.Lo).IsZero(), f.at(r.Hi).IsZero(), c.between(r.Lo, r.Hi) != 1:
			return errors.New("an interval does not hold exactly one root")
		}
	}
	return nil
}

// sample is a point of the i-th open interval between the roots, counted from
// the left: no root lies there.
func sample(roots []Isolated, i int) number.Num {
	one := number.Int(1)
	switch {
	case len(roots) == 0:
		return number.Num{}
	case i == 0:
		return roots[0].Lo.Sub(one)
	case i == len(roots):
		return roots[i-1].Hi.Add(one)
	default:
		return roots[i-1].Hi.Add(roots[i].Lo).Mul(number.Frac(1, 2))
	}
}
