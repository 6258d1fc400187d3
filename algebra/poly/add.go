package poly

import (
	"slices"

	"squaremark/algebra/budget"
	"squaremark/algebra/number"
)

// Add is f + g.
func (r *Ring) Add(f, g Poly) Poly {
	if !r.pay((f.Len() + g.Len()) * budget.CostTerm) {
		return Poly{}
	}
	switch {
	case f.IsZero():
		return g
	case g.IsZero():
		return f
	}
	n := f.Len() + g.Len()
	out := Poly{make([]uint64, 0, n*r.stride), make([]number.Num, 0, n)}
	return r.fit(r.merge(out, f, g))
}

// merge appends f + g to out.
func (r *Ring) merge(out, f, g Poly) Poly {
	if r.stride == 1 {
		return mergeNarrow(out, f, g)
	}
	i, j := 0, 0
	for i < f.Len() && j < g.Len() {
		a, b := r.at(f, i), r.at(g, j)
		switch compare(a, b) {
		case 1:
			out.mons, out.coefs = append(out.mons, a...), append(out.coefs, f.coefs[i])
			i++
		case -1:
			out.mons, out.coefs = append(out.mons, b...), append(out.coefs, g.coefs[j])
			j++
		default:
			if c := f.coefs[i].Add(g.coefs[j]); !c.IsZero() {
				out.mons, out.coefs = append(out.mons, a...), append(out.coefs, c)
			}
			i, j = i+1, j+1
		}
	}
	out.mons = append(append(out.mons, f.mons[i*r.stride:]...), g.mons[j*r.stride:]...)
	out.coefs = append(append(out.coefs, f.coefs[i:]...), g.coefs[j:]...)
	return out
}

// mergeNarrow is merge for monomials of one word.
func mergeNarrow(out, f, g Poly) Poly {
	i, j := 0, 0
	for i < len(f.mons) && j < len(g.mons) {
		a, b := f.mons[i], g.mons[j]
		switch {
		case a > b:
			out.mons, out.coefs = append(out.mons, a), append(out.coefs, f.coefs[i])
			i++
		case a < b:
			out.mons, out.coefs = append(out.mons, b), append(out.coefs, g.coefs[j])
			j++
		default:
			if c := f.coefs[i].Add(g.coefs[j]); !c.IsZero() {
				out.mons, out.coefs = append(out.mons, a), append(out.coefs, c)
			}
			i, j = i+1, j+1
		}
	}
	out.mons = append(append(out.mons, f.mons[i:]...), g.mons[j:]...)
	out.coefs = append(append(out.coefs, f.coefs[i:]...), g.coefs[j:]...)
	return out
}

// Sum adds up a list by halves, so that long sums cost no more than sorting.
func (r *Ring) Sum(fs ...Poly) Poly {
	switch len(fs) {
	case 0:
		return Poly{}
	case 1:
		return fs[0]
	}
	h := len(fs) / 2
	return r.Add(r.Sum(fs[:h]...), r.Sum(fs[h:]...))
}

// Sub is f − g.
func (r *Ring) Sub(f, g Poly) Poly { return r.Add(f, r.Neg(g)) }

// Neg is −f.
func (r *Ring) Neg(f Poly) Poly {
	if !r.pay(f.Len() * budget.CostTerm) {
		return Poly{}
	}
	coefs := make([]number.Num, f.Len())
	for i, c := range f.coefs {
		coefs[i] = c.Neg()
	}
	return Poly{f.mons, coefs}
}

// Scale is c·f.
func (r *Ring) Scale(f Poly, c number.Num) Poly {
	if c.IsOne() {
		return f
	}
	if c.IsZero() || !r.payProduct(f, Poly{coefs: []number.Num{c}}) {
		return Poly{}
	}
	coefs := make([]number.Num, f.Len())
	for i, a := range f.coefs {
		coefs[i] = a.Mul(c)
	}
	return r.fit(Poly{f.mons, coefs})
}

// Equal reports f = g.
func (r *Ring) Equal(f, g Poly) bool {
	return slices.Equal(f.mons, g.mons) &&
		slices.EqualFunc(f.coefs, g.coefs, number.Num.Equal)
}
