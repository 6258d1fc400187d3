package uni

import (
	"math/big"
	"math/bits"
)

// pair is a two's complement integer of 128 bits. The bisection of usual
// polynomials runs in pairs, without allocation for each coefficient.
type pair struct {
	hi int64
	lo uint64
}

// pairBits is what a coefficient may measure so that its sign is safe.
const pairBits = 126

func (a pair) add(b pair) pair {
	lo, carry := bits.Add64(a.lo, b.lo, 0)
	return pair{a.hi + b.hi + int64(carry), lo}
}

func (a pair) shift(n uint) pair {
	if n >= 64 {
		return pair{int64(a.lo << (n - 64)), 0}
	}
	return pair{a.hi<<n | int64(a.lo>>(64-n)), a.lo << n}
}

func (a pair) sign() int {
	switch {
	case a.hi < 0:
		return -1
	case a.hi == 0 && a.lo == 0:
		return 0
	}
	return 1
}

// bitLen is the length of |a|, or one more for a negative power of two.
func (a pair) bitLen() int {
	x := pair{a.hi ^ a.hi>>63, a.lo ^ uint64(a.hi>>63)} // a or −a−1
	n := bits.Len64(x.lo)
	if x.hi != 0 {
		n = 64 + bits.Len64(uint64(x.hi))
	}
	if a.hi < 0 {
		n++
	}
	return n
}

// pairs is an integer polynomial of such coefficients.
type pairs []pair

// toPairs is z in pairs; its coefficients must fit.
func toPairs(z ints) pairs {
	out := make(pairs, len(z))
	for k, c := range z {
		abs := new(big.Int).Abs(c)
		low := new(big.Int).And(abs, new(big.Int).SetUint64(1<<64-1)).Uint64()
		high := int64(abs.Rsh(abs, 64).Uint64())
		if out[k] = (pair{high, low}); c.Sign() < 0 {
			out[k] = pair{^high, ^low}.add(pair{0, 1})
		}
	}
	return out
}

func (q pairs) ints() ints {
	out := make(ints, len(q))
	for k, c := range q {
		z := big.NewInt(c.hi)
		out[k] = z.Add(z.Lsh(z, 64), new(big.Int).SetUint64(c.lo))
	}
	return out
}

func (q pairs) bits() int {
	n := 0
	for _, c := range q {
		n = max(n, c.bitLen())
	}
	return n
}

func (q pairs) shiftByOne() {
	for i := range len(q) - 1 {
		for j := len(q) - 2; j >= i; j-- {
			q[j] = q[j].add(q[j+1])
		}
	}
}

// signChangesOnUnit is as for ints.
func (q pairs) signChangesOnUnit(t pairs) int {
	n := len(q)
	for k, c := range q {
		t[n-1-k] = c
	}
	changes, last := 0, 0
	for i := range n {
		for j := n - 2; j >= i; j-- {
			t[j] = t[j].add(t[j+1])
		}
		if s := t[i].sign(); s != 0 {
			if s == -last {
				if changes++; changes == 2 {
					return 2
				}
			}
			last = s
		}
	}
	return changes
}
