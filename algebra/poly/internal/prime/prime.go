// Package prime computes modulo the Mersenne prime 2^61 − 1. A common factor
// of two polynomials survives the passage to the remainders as long as the
// leading coefficients do, so that the degree found here is never too small:
// degree 0 proves that there is none over the rationals.
package prime

import (
	"math/big"
	"math/bits"

	"squaremark/algebra/number"
)

// P is the modulus, a prime (F. Pervouchine 1883, from memory).
const P = 1<<61 - 1

// Mul is a·b. Domain: a, b < P.
func Mul(a, b uint64) uint64 {
	hi, lo := bits.Mul64(a, b)
	return reduce(lo&P + (lo>>61 | hi<<3))
}

// Add is a + b. Domain: a, b < P.
func Add(a, b uint64) uint64 { return reduce(a + b) }

// Sub is a − b. Domain: a, b < P.
func Sub(a, b uint64) uint64 { return reduce(a + P - b) }

func reduce(a uint64) uint64 {
	if a >= P {
		a -= P
	}
	return a
}

// Of is the remainder of an integer. Domain: integers; false for others.
func Of(c number.Num) (uint64, bool) {
	if k, ok := c.Int64(); ok {
		if k < 0 {
			return Sub(0, -uint64(k)%P), true
		}
		return uint64(k) % P, true
	}
	if !c.IsInteger() {
		return 0, false
	}
	q, _ := c.Rat()
	return OfBig(q.Num()), true
}

// OfBig is the remainder of a large integer.
func OfBig(k *big.Int) uint64 {
	if k.IsInt64() {
		r, _ := Of(number.Int(k.Int64()))
		return r
	}
	return new(big.Int).Mod(k, big.NewInt(P)).Uint64()
}

// GCDDegree is the degree of the greatest common divisor of a and b, low
// coefficients first, with the leading coefficients not 0; both are used up.
// It divides crosswise, so that nothing is inverted.
func GCDDegree(a, b []uint64) int {
	if len(a) < len(b) {
		a, b = b, a
	}
	for len(b) > 0 {
		for len(a) >= len(b) {
			p, q := b[len(b)-1], a[len(a)-1]
			at := len(a) - len(b)
			for i := range a {
				a[i] = Mul(a[i], p)
			}
			for i, x := range b {
				a[at+i] = Sub(a[at+i], Mul(x, q))
			}
			a = trim(a)
		}
		a, b = b, a
	}
	return len(a) - 1
}

// trim drops leading zeros.
func trim(a []uint64) []uint64 {
	for len(a) > 0 && a[len(a)-1] == 0 {
		a = a[:len(a)-1]
	}
	return a
}
