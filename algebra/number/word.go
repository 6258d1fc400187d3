package number

import (
	"math"
	"math/bits"
)

// magnitude is |n|, right for the least int64 too.
func magnitude(n int64) uint64 {
	if n < 0 {
		return -uint64(n)
	}
	return uint64(n)
}

// gcd is the greatest common divisor, gcd(0, b) = b. Source: J. Stein,
// Computational problems associated with Racah algebra, J. Comput. Phys. 1
// (1967) (from memory).
func gcd(a, b uint64) uint64 {
	if a == 0 {
		return b
	}
	if b == 0 {
		return a
	}
	if a == 1 || b == 1 {
		return 1
	}
	shift := bits.TrailingZeros64(a | b)
	a >>= bits.TrailingZeros64(a)
	for {
		b >>= bits.TrailingZeros64(b)
		low := min(a, b)
		if b = max(a, b) - low; b == 0 {
			return low << shift
		}
		a = low
	}
}

// addWord is a+b and whether it fits.
func addWord(a, b int64) (int64, bool) {
	s := a + b
	return s, (a^s)&(b^s) >= 0
}

// mulWord is a·b and whether it fits.
func mulWord(a, b int64) (int64, bool) {
	if a == int64(int32(a)) && b == int64(int32(b)) {
		return a * b, true
	}
	hi, lo := bits.Mul64(magnitude(a), magnitude(b))
	if (a < 0) != (b < 0) {
		return -int64(lo), hi == 0 && lo <= 1<<63
	}
	return int64(lo), hi == 0 && lo <= math.MaxInt64
}

// addFrac is an/ad + bn/bd in lowest terms, if every step fits. Source:
// D. E. Knuth, The Art of Computer Programming 2, section 4.5.1.
func addFrac(an, ad, bn, bd int64) (Num, bool) {
	g := int64(gcd(uint64(ad), uint64(bd)))
	x, ok1 := mulWord(an, bd/g)
	y, ok2 := mulWord(bn, ad/g)
	t, ok3 := addWord(x, y)
	if !(ok1 && ok2 && ok3) {
		return Num{}, false
	}
	h := int64(1)
	if g > 1 {
		h = int64(gcd(magnitude(t), uint64(g)))
	}
	d, ok := mulWord(ad/g, bd/h)
	return Num{n: t / h, e: d - 1}, ok
}

// mulFrac is an/ad · bn/bd in lowest terms, if every step fits.
func mulFrac(an, ad, bn, bd int64) (Num, bool) {
	if g := int64(gcd(magnitude(an), uint64(bd))); g > 1 {
		an, bd = an/g, bd/g
	}
	if g := int64(gcd(magnitude(bn), uint64(ad))); g > 1 {
		bn, ad = bn/g, ad/g
	}
	n, ok1 := mulWord(an, bn)
	d, ok2 := mulWord(ad, bd)
	return Num{n: n, e: d - 1}, ok1 && ok2
}
