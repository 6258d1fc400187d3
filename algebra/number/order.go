package number

import (
	"math/big"
	"math/bits"
)

// Sign is −1, 0 or 1, exactly.
//
// Cost: constant for rationals; a + b√d compares squares; a longer sum is
// enclosed between rationals that are refined until both have one sign, which
// ends because the normal form has already told it from 0.
func (a Num) Sign() int {
	if a.w == nil {
		switch {
		case a.n > 0:
			return 1
		case a.n < 0:
			return -1
		}
		return 0
	}
	if a.w.rat != nil {
		return a.w.rat.Sign()
	}
	return signSum(a.w.sum)
}

func signSum(ts []term) int {
	first := ts[0].c.Sign()
	alike := true
	for _, t := range ts[1:] {
		alike = alike && t.c.Sign() == first
	}
	if alike {
		return first
	}
	if len(ts) == 2 {
		x := ts[0].c.Mul(ts[0].c).Mul(ts[0].d)
		y := ts[1].c.Mul(ts[1].c).Mul(ts[1].d)
		if x.cmpRational(y) > 0 {
			return first
		}
		return -first
	}
	e := newEnclosure(ts)
	for k := uint(32); ; k *= 2 {
		lo, hi := e.at(k)
		if lo.Sign() > 0 {
			return 1
		}
		if hi.Sign() < 0 {
			return -1
		}
	}
}

// Cmp is −1, 0 or 1 as a is less than, equal to or greater than b, exactly.
func (a Num) Cmp(b Num) int {
	if a.IsRational() && b.IsRational() {
		return a.cmpRational(b)
	}
	return a.Sub(b).Sign()
}

func (a Num) cmpRational(b Num) int {
	if a.w != nil || b.w != nil {
		return a.rat().Cmp(b.rat())
	}
	if a.e == b.e {
		switch {
		case a.n < b.n:
			return -1
		case a.n > b.n:
			return 1
		}
		return 0
	}
	if s, t := a.Sign(), b.Sign(); s != t || s == 0 {
		switch {
		case s < t:
			return -1
		case s > t:
			return 1
		}
		return 0
	}
	xh, xl := bits.Mul64(magnitude(a.n), uint64(b.e+1))
	yh, yl := bits.Mul64(magnitude(b.n), uint64(a.e+1))
	c := 0
	switch {
	case xh < yh || xh == yh && xl < yl:
		c = -1
	case xh > yh || xl > yl:
		c = 1
	}
	return c * a.Sign()
}

// Equal reports a = b.
func (a Num) Equal(b Num) bool {
	if a.w == nil || b.w == nil {
		return a == b
	}
	if a.w.rat != nil || b.w.rat != nil {
		return a.w.rat != nil && b.w.rat != nil && a.w.rat.Cmp(b.w.rat) == 0
	}
	if len(a.w.sum) != len(b.w.sum) {
		return false
	}
	for i, t := range a.w.sum {
		if u := b.w.sum[i]; !t.d.Equal(u.d) || !t.c.Equal(u.c) {
			return false
		}
	}
	return true
}

// Floor is the greatest integer that is not above a.
func (a Num) Floor() *big.Int {
	if a.w == nil {
		q := a.n / (a.e + 1)
		if a.n < 0 && q*(a.e+1) != a.n {
			q--
		}
		return big.NewInt(q)
	}
	if a.IsRational() {
		r := a.rat()
		return new(big.Int).Div(r.Num(), r.Denom()) // Euclidean: rounds down
	}
	e := newEnclosure(a.w.sum)
	for k := uint(32); ; k *= 2 {
		lo, hi := e.at(k)
		d := new(big.Int).Lsh(e.denom, k)
		lo.Div(lo, d)
		hi.Div(hi, d)
		if lo.Cmp(hi) == 0 {
			return lo
		}
	}
}

// Ceil is the least integer that is not below a.
func (a Num) Ceil() *big.Int {
	f := a.Neg().Floor()
	return f.Neg(f)
}

// Enclose gives rationals lo ≤ a ≤ hi at most 2^−k apart; both are a itself
// when a is rational. Domain: k ≥ 0; a negative k is read as 0.
func (a Num) Enclose(k int) (lo, hi Num) {
	if a.IsRational() {
		return a, a
	}
	e := newEnclosure(a.w.sum)
	spread := new(big.Int)
	for _, c := range e.coef {
		spread.Add(spread, new(big.Int).Abs(c))
	}
	p := uint(max(k, 0) + spread.BitLen())
	l, h := e.at(p)
	d := new(big.Int).Lsh(e.denom, p)
	return fromRat(new(big.Rat).SetFrac(l, d)), fromRat(new(big.Rat).SetFrac(h, d))
}

// enclosure is a sum of roots Σ coef·√rad / denom over the integers.
type enclosure struct {
	coef, rad []*big.Int
	denom     *big.Int
}

func newEnclosure(ts []term) enclosure {
	e := enclosure{denom: big.NewInt(1)}
	for _, t := range ts {
		e.denom = lcm(e.denom, t.c.rat().Denom())
	}
	for _, t := range ts {
		c := new(big.Int).Quo(e.denom, t.c.rat().Denom())
		e.coef = append(e.coef, c.Mul(c, t.c.rat().Num()))
		e.rad = append(e.rad, t.d.bigInt())
	}
	return e
}

// at encloses 2^k·denom times the sum between two integers.
func (e enclosure) at(k uint) (lo, hi *big.Int) {
	lo, hi = new(big.Int), new(big.Int)
	one := big.NewInt(1)
	for i, c := range e.coef {
		under := new(big.Int).Lsh(e.rad[i], 2*k)
		under.Sqrt(under)
		over := under
		if e.rad[i].Cmp(one) > 0 {
			over = new(big.Int).Add(under, one)
		}
		if c.Sign() < 0 {
			under, over = over, under
		}
		lo.Add(lo, new(big.Int).Mul(c, under))
		hi.Add(hi, new(big.Int).Mul(c, over))
	}
	return lo, hi
}
