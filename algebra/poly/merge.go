package poly

import "squaremark/algebra/number"

// mulMerge adds the rows term(f)·g to a growing sum one by one. Cost:
// len(f)·len(result); for short factors.
func (r *Ring) mulMerge(f, g Poly) Poly {
	n := f.Len() * g.Len()
	sum := r.mulTerm(g, r.at(f, 0), f.coefs[0])
	spare := Poly{make([]uint64, 0, n*r.stride), make([]number.Num, 0, n)}
	for k := 1; k < f.Len(); k++ {
		row := r.mulTerm(g, r.at(f, k), f.coefs[k])
		next := r.merge(Poly{spare.mons[:0], spare.coefs[:0]}, sum, row)
		if k == 1 {
			sum = Poly{make([]uint64, 0, n*r.stride), make([]number.Num, 0, n)}
		}
		sum, spare = next, sum
	}
	return sum
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
