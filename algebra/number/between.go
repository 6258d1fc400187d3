package number

import "math/big"

// Between is the simplest rational strictly between lo and hi: the one with
// the least denominator, among these the least numerator in size. Domain:
// lo < hi; otherwise the result is lo.
//
// Source: the Stern–Brocot tree; R. L. Graham, D. E. Knuth, O. Patashnik,
// Concrete Mathematics, section 4.5.
func Between(lo, hi Num) Num {
	if lo.Cmp(hi) >= 0 {
		return lo
	}
	for k := 8; ; k *= 2 {
		// The simplest number of a slightly larger interval is the simplest
		// of this one as soon as it lies inside.
		l, _ := lo.Enclose(k)
		_, h := hi.Enclose(k)
		if s := simplest(l, h); lo.Cmp(s) < 0 && s.Cmp(hi) < 0 {
			return s
		}
	}
}

// simplest is Between for rationals lo < hi.
func simplest(lo, hi Num) Num {
	switch {
	case lo.Sign() < 0 && hi.Sign() > 0:
		return Num{}
	case hi.Sign() <= 0:
		return simplestPositive(hi.Neg(), lo.Neg()).Neg()
	}
	return simplestPositive(lo, hi)
}

// simplestPositive walks the continued fractions of 0 ≤ lo < hi while they
// agree, keeping the convergents p/q and p0/q0.
func simplestPositive(lo, hi Num) Num {
	p0, q0, p, q := Int(0), Int(1), Int(1), Int(0)
	step := func(k Num) {
		p0, p = p, k.Mul(p).Add(p0)
		q0, q = q, k.Mul(q).Add(q0)
	}
	for {
		f := lo.floor()
		if next := f.Add(Int(1)); next.cmpRational(hi) < 0 {
			step(next)
			break
		}
		step(f)
		high, _ := hi.Sub(f).Inv() // hi > f
		low, bounded := lo.Sub(f).Inv()
		if !bounded { // lo is f: everything above 1/(hi−f) is allowed
			step(high.floor().Add(Int(1)))
			break
		}
		lo, hi = high, low
	}
	s, _ := p.Div(q) // a convergent: q > 0
	return s
}

// floor is Floor of a rational as a Num.
func (a Num) floor() Num {
	if a.w == nil {
		d := a.e + 1
		q := a.n / d
		if a.n%d < 0 {
			q--
		}
		return Num{n: q}
	}
	return FromBigInt(new(big.Int).Div(a.w.rat.Num(), a.w.rat.Denom()))
}
