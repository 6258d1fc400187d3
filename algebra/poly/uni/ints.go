package uni

import (
	"math/big"

	"squaremark/algebra/number"
	"squaremark/algebra/poly/internal/prime"
)

// ints is a polynomial over the integers, lowest coefficient first, the last
// one not 0.
type ints []*big.Int

// toInts is the primitive integer multiple of f with a positive leading
// coefficient; false when a coefficient is irrational.
func toInts(f Uni) (ints, bool) {
	denom := number.Int(1)
	for _, c := range f {
		if !c.IsRational() {
			return nil, false
		}
		denom = number.LCM(denom, c.Denominator())
	}
	z := make(ints, len(f))
	for k, c := range f {
		r, _ := c.Mul(denom).Rat()
		z[k] = r.Num()
	}
	return z.primitive(), true
}

func (z ints) uni() Uni {
	if len(z) == 0 {
		return nil
	}
	f := make(Uni, len(z))
	for k, c := range z {
		f[k] = number.FromBigInt(c)
	}
	return f
}

// primitive divides by the content in place and makes the leading coefficient
// positive.
func (z ints) primitive() ints {
	if len(z) == 0 {
		return z
	}
	g := new(big.Int)
	for k := len(z) - 1; k >= 0; k-- {
		if g.GCD(nil, nil, g, new(big.Int).Abs(z[k])); g.IsInt64() && g.Int64() == 1 {
			break
		}
	}
	if z[len(z)-1].Sign() < 0 {
		g.Neg(g)
	}
	if g.IsInt64() && g.Int64() == 1 {
		return z
	}
	for _, c := range z {
		c.Quo(c, g)
	}
	return z
}

func (z ints) clone() ints {
	out := make(ints, len(z))
	for k, c := range z {
		out[k] = new(big.Int).Set(c)
	}
	return out
}

func (z ints) derivative() ints {
	if len(z) < 2 {
		return nil
	}
	out := make(ints, len(z)-1)
	for k := range out {
		out[k] = new(big.Int).Mul(z[k+1], big.NewInt(int64(k+1)))
	}
	return out
}

// bits is the length of the longest coefficient.
func (z ints) bits() int {
	n := 0
	for _, c := range z {
		n = max(n, c.BitLen())
	}
	return n
}

// image is z modulo the prime; false when the leading coefficient vanishes.
func (z ints) image() ([]uint64, bool) {
	out := make([]uint64, len(z))
	for k, c := range z {
		out[k] = prime.OfBig(c)
	}
	return out, len(z) > 0 && out[len(z)-1] != 0
}

// mayHaveRationalRoot is false when z has no root modulo some small prime that
// does not divide the leading coefficient: then it has no rational root.
func (z ints) mayHaveRationalRoot() bool {
	const primes = 5 * 7 * 11 * 13 * 17 * 19 * 23
	rest := make([]uint64, len(z))
	m := big.NewInt(primes)
	t := new(big.Int)
	for k, c := range z {
		rest[k] = t.Mod(c, m).Uint64()
	}
	for _, p := range []uint64{5, 7, 11, 13, 17, 19, 23} {
		if rest[len(rest)-1]%p != 0 && !rootModulo(rest, p) {
			return false
		}
	}
	return true
}

func rootModulo(z []uint64, p uint64) bool {
	for x := range p {
		y := uint64(0)
		for k := len(z) - 1; k >= 0; k-- {
			y = (y*x + z[k]) % p
		}
		if y == 0 {
			return true
		}
	}
	return false
}
