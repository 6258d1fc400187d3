package poly

import (
	"math/bits"

	"squaremark/algebra/number"
)

// bucket is a sum of polynomials that is added up late: part k holds fewer
// than 4^(k+1) terms, so that each term is merged a few times only, however
// many short polynomials are added to a long one. The zero value is 0.
//
// Source: T. Yan, The geobucket data structure for polynomials, J. Symb.
// Comput. 25 (1998) (from memory).
type bucket struct{ parts []Poly }

// add adds f, which is taken over.
func (b *bucket) add(r *Ring, f Poly) {
	for !f.IsZero() {
		k := (bits.Len(uint(f.Len())) - 1) / 2
		for len(b.parts) <= k {
			b.parts = append(b.parts, Poly{})
		}
		if b.parts[k].IsZero() {
			b.parts[k] = f
			return
		}
		g := b.parts[k]
		b.parts[k] = Poly{}
		n := f.Len() + g.Len()
		f = r.merge(Poly{make([]uint64, 0, n*r.stride), make([]number.Num, 0, n)}, f, g)
	}
}

// pop takes the leading term out; a zero coefficient says that none is left.
func (b *bucket) pop(r *Ring) ([]uint64, number.Num) {
	for {
		var lead []uint64
		for _, p := range b.parts {
			if !p.IsZero() && (lead == nil || compare(p.mons[:r.stride], lead) > 0) {
				lead = p.mons[:r.stride]
			}
		}
		if lead == nil {
			return nil, number.Num{}
		}
		var c number.Num
		for k, p := range b.parts {
			if !p.IsZero() && compare(p.mons[:r.stride], lead) == 0 {
				c = c.Add(p.coefs[0])
				b.parts[k] = Poly{p.mons[r.stride:], p.coefs[1:]}
			}
		}
		if !c.IsZero() {
			return lead, c
		}
	}
}

// sum empties the bucket into one polynomial.
func (b *bucket) sum(r *Ring) Poly {
	var total Poly
	for _, p := range b.parts {
		n := total.Len() + p.Len()
		total = r.merge(Poly{make([]uint64, 0, n*r.stride), make([]number.Num, 0, n)}, total, p)
	}
	b.parts = nil
	return total
}

// mulBucket adds the rows term(f)·g in a bucket. Cost: len(f)·len(g) times
// the logarithm; for monomials of several words.
func (r *Ring) mulBucket(f, g Poly) Poly {
	var b bucket
	for k := range f.coefs {
		b.add(r, r.mulTerm(g, r.at(f, k), f.coefs[k]))
	}
	return b.sum(r)
}
