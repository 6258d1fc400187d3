package poly

import (
	"math/bits"
	"slices"

	"squaremark/algebra/number"
)

// table maps monomials of one word to places in two lists by open addressing.
// It lives in the ring so that its memory is used again.
type table struct {
	slots []int32 // place + 1, 0 for a free slot
	mons  []uint64
	coefs []number.Num
	shift int
}

// reset makes room for n products.
func (t *table) reset(n int) {
	size := max(64, 2<<bits.Len(uint(n)))
	if len(t.slots) < size || len(t.slots) > 8*size {
		t.slots = make([]int32, size)
	} else {
		clear(t.slots)
	}
	t.shift = 64 - (bits.Len(uint(len(t.slots))) - 1)
	t.mons, t.coefs = t.mons[:0], t.coefs[:0]
}

// slot is where m is or would be. Fibonacci hashing: Knuth, The Art of
// Computer Programming 3, section 6.4.
func (t *table) slot(m uint64) uint64 {
	mask := uint64(len(t.slots) - 1)
	for h := m * 0x9e3779b97f4a7c15 >> t.shift; ; h = (h + 1) & mask {
		if at := t.slots[h]; at == 0 || t.mons[at-1] == m {
			return h
		}
	}
}

// add adds c to the coefficient of m.
func (t *table) add(m uint64, c number.Num) {
	h := t.slot(m)
	if at := t.slots[h]; at != 0 {
		t.coefs[at-1] = t.coefs[at-1].Add(c)
		return
	}
	t.mons, t.coefs = append(t.mons, m), append(t.coefs, c)
	t.slots[h] = int32(len(t.mons))
}

// mulHash collects the products of all pairs of terms in a hash table and
// sorts the monomials met. For monomials of one word.
func (r *Ring) mulHash(f, g Poly) Poly {
	t := &r.table
	t.reset(f.Len() * g.Len())
	for i, m := range f.mons {
		c := f.coefs[i]
		for j, n := range g.mons {
			t.add(m+n, c.Mul(g.coefs[j]))
		}
	}
	out := Poly{make([]uint64, 0, len(t.mons)), make([]number.Num, 0, len(t.mons))}
	for i, m := range t.mons {
		if !t.coefs[i].IsZero() {
			out.mons = append(out.mons, m)
		}
	}
	slices.Sort(out.mons)
	slices.Reverse(out.mons)
	for _, m := range out.mons {
		out.coefs = append(out.coefs, t.coefs[t.slots[t.slot(m)]-1])
	}
	return out
}
