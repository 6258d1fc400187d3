package poly

import (
	"math/bits"
	"slices"

	"squaremark/algebra/number"
)

// wordTable is the table of hash.go for machine integers. Its memory holds no
// pointers, so that the collector never looks at it.
type wordTable struct {
	slots      []wordSlot
	mons       []uint64
	left, down []int64 // coefficients of the two factors as integers
	shift      int
}

// wordSlot holds the monomial plus 1, 0 for a free slot.
type wordSlot struct {
	mon uint64
	sum int64
}

func (t *wordTable) reset(n int) {
	size := max(32, 2<<bits.Len(uint(n)))
	if len(t.slots) < size || len(t.slots) > max(8*size, 512) {
		t.slots = make([]wordSlot, size)
	} else {
		clear(t.slots)
	}
	t.shift = 64 - (bits.Len(uint(len(t.slots))) - 1)
	t.mons = t.mons[:0]
}

// slot is where the monomial m−1 is or would be.
func (t *wordTable) slot(m uint64) *wordSlot {
	mask := uint64(len(t.slots) - 1)
	for h := m * 0x9e3779b97f4a7c15 >> t.shift; ; h++ {
		if s := &t.slots[h&mask]; s.mon == m || s.mon == 0 {
			return s
		}
	}
}

// integers writes to list the coefficients of denom·f, with denom the least
// that makes them integers, if all are machine words; size is the length of
// the longest in bits.
func integers(list []int64, f Poly) (out []int64, denom int64, size int, ok bool) {
	q := number.Int(1)
	for _, c := range f.coefs {
		if !c.Small() {
			return list, 0, 0, false
		}
		if !c.IsInteger() {
			q = number.LCM(q, c.Denominator())
		}
	}
	if denom, ok = q.Int64(); !ok || denom >= 1<<31 {
		return list, 0, 0, false
	}
	all := uint64(0)
	for _, c := range f.coefs {
		k, ok := c.Mul(q).Int64()
		if !ok {
			return list, 0, 0, false
		}
		list = append(list, k)
		all |= uint64(k ^ k>>63)
	}
	return list, denom, bits.Len64(all) + 1, true
}

// mulWords is mulHash for small rationals: they become integers over common
// denominators, so short that no sum of products overflows; false for others.
// f is not longer than g.
func (r *Ring) mulWords(f, g Poly) (Poly, bool) {
	t := &r.narrow
	var d, e int64
	var v, w int
	var ok bool
	if t.left, d, v, ok = integers(t.left[:0], f); !ok {
		return Poly{}, false
	}
	if t.down, e, w, ok = integers(t.down[:0], g); !ok || v+w+bits.Len(uint(f.Len())) > 62 {
		return Poly{}, false
	}
	t.reset(f.Len() * g.Len())
	for i, m := range f.mons {
		m, c := m+1, t.left[i]
		for j, n := range g.mons {
			s := t.slot(m + n)
			if s.mon == 0 {
				s.mon = m + n
				t.mons = append(t.mons, m+n)
			}
			s.sum += c * t.down[j]
		}
	}
	slices.Sort(t.mons)
	out := Poly{make([]uint64, 0, len(t.mons)), make([]number.Num, 0, len(t.mons))}
	for k := len(t.mons) - 1; k >= 0; k-- {
		if s := t.slot(t.mons[k]); s.sum != 0 {
			out.mons = append(out.mons, s.mon-1)
			out.coefs = append(out.coefs, number.Frac(s.sum, d*e))
		}
	}
	return out, true
}
