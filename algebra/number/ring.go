package number

import "math/big"

// Add is a + b.
func (a Num) Add(b Num) Num {
	if a.w == nil && b.w == nil && a.e|b.e == 0 {
		if s := a.n + b.n; (a.n^s)&(b.n^s) >= 0 {
			return Num{n: s}
		}
	}
	return a.addSlow(b)
}

func (a Num) addSlow(b Num) Num {
	if a.w == nil && b.w == nil {
		if s, ok := addFrac(a.n, a.e+1, b.n, b.e+1); ok {
			return s
		}
	}
	if a.IsRational() && b.IsRational() {
		return fromRat(new(big.Rat).Add(a.rat(), b.rat()))
	}
	return addSums(a, b)
}

// Sub is a − b.
func (a Num) Sub(b Num) Num {
	if a.w == nil && b.w == nil && a.e|b.e == 0 {
		if s := a.n - b.n; (a.n^b.n)&(a.n^s) >= 0 {
			return Num{n: s}
		}
	}
	return a.addSlow(b.Neg())
}

// Neg is −a.
func (a Num) Neg() Num {
	if a.w == nil && a.n != -a.n {
		return Num{n: -a.n, e: a.e}
	}
	if a.IsZero() {
		return a
	}
	if a.IsRational() {
		return fromRat(new(big.Rat).Neg(a.rat()))
	}
	ts := make([]term, len(a.w.sum))
	for i, t := range a.w.sum {
		ts[i] = term{t.d, t.c.Neg()}
	}
	return fromTerms(ts)
}

// Mul is a·b.
func (a Num) Mul(b Num) Num {
	if a.w == nil && b.w == nil && a.e|b.e == 0 {
		if a.n == int64(int32(a.n)) && b.n == int64(int32(b.n)) {
			return Num{n: a.n * b.n}
		}
	}
	return a.mulSlow(b)
}

func (a Num) mulSlow(b Num) Num {
	if a.w == nil && b.w == nil {
		if p, ok := mulFrac(a.n, a.e+1, b.n, b.e+1); ok {
			return p
		}
	}
	if a.IsRational() && b.IsRational() {
		return fromRat(new(big.Rat).Mul(a.rat(), b.rat()))
	}
	return mulSums(a, b)
}

// Inv is 1/a. It reports false for 0 and for a sum of roots that needs more
// than maxConjugations independent square roots; IsZero tells the two apart.
func (a Num) Inv() (Num, bool) {
	if a.IsZero() {
		return Num{}, false
	}
	if a.w == nil && a.n > 0 {
		return Num{n: a.e + 1, e: a.n - 1}, true
	}
	if a.w == nil && a.n != -a.n {
		return Num{n: -(a.e + 1), e: -a.n - 1}, true
	}
	if a.IsRational() {
		return fromRat(new(big.Rat).Inv(a.rat())), true
	}
	return invSum(a)
}

// Div is a/b; false as in Inv.
func (a Num) Div(b Num) (Num, bool) {
	inv, ok := b.Inv()
	if !ok {
		return Num{}, false
	}
	return a.Mul(inv), true
}

// Pow is a^k with 0^0 = 1. Domain: k ≥ 0; a negative k is read as 0. The size
// of the result grows with k, which the caller bounds.
func (a Num) Pow(k int) Num {
	if k <= 0 {
		return Int(1)
	}
	if a.w != nil && a.w.rat != nil {
		e := big.NewInt(int64(k))
		n := new(big.Int).Exp(a.w.rat.Num(), e, nil)
		d := new(big.Int).Exp(a.w.rat.Denom(), e, nil)
		return fromRat(new(big.Rat).SetFrac(n, d))
	}
	p := Int(1)
	for square := a; ; square = square.Mul(square) {
		if k&1 == 1 {
			p = p.Mul(square)
		}
		if k >>= 1; k == 0 {
			return p
		}
	}
}

// Abs is |a|.
func (a Num) Abs() Num {
	if a.Sign() < 0 {
		return a.Neg()
	}
	return a
}

// GCD is the greatest rational g ≥ 0 of which both a and b are integer
// multiples, with GCD(0, b) = |b|: the usual one for integers. Domain:
// rationals; when a square root is involved the result is 1.
func GCD(a, b Num) Num {
	if !a.IsRational() || !b.IsRational() {
		return Int(1)
	}
	if a.e|b.e == 0 && a.w == nil && b.w == nil {
		return gcdInt(a, b)
	}
	// In lowest terms gcd(n/d, m/e) = gcd(n, m)/lcm(d, e).
	g, _ := gcdInt(a.Numerator(), b.Numerator()).Div(LCM(a.Denominator(), b.Denominator()))
	return g
}

// LCM is the least common multiple of two positive integers. Domain: positive
// integers; the result means nothing for others.
func LCM(a, b Num) Num {
	if a.IsOne() {
		return b
	}
	return quo(a, gcdInt(a, b)).Mul(b)
}

// gcdInt is GCD of two integers.
func gcdInt(a, b Num) Num {
	if a.w == nil && b.w == nil {
		if g := int64(gcd(magnitude(a.n), magnitude(b.n))); g >= 0 {
			return Num{n: g}
		}
	}
	x, y := a.bigInt(), b.bigInt()
	return FromBigInt(x.GCD(nil, nil, x.Abs(x), y.Abs(y)))
}

func lcm(a, b *big.Int) *big.Int {
	g := new(big.Int).GCD(nil, nil, a, b)
	return g.Mul(new(big.Int).Quo(a, g), b)
}
