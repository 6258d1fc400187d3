package poly

import (
	"squaremark/algebra/budget"
	"squaremark/algebra/number"
)

// Mul is f·g. Monomials that fit one word, at need with fields of less than a
// byte, are collected in a hash table, with machine integers for coefficients
// where they suffice; others in a bucket (go test -bench=Ways ./algebra/poly
// compares the ways). Cost: one CostTermMul for each pair of terms, checked before
// the work begins.
func (r *Ring) Mul(f, g Poly) Poly {
	if f.Len() > g.Len() {
		f, g = g, f
	}
	switch {
	case f.IsZero() || !r.payProduct(f, g):
		return Poly{}
	case !r.degreeFits(f.Degree() + g.Degree()):
		r.m.Exceed("degree")
		return Poly{}
	case f.Len() == 1:
		return r.fit(r.mulTerm(g, f.mons, f.coefs[0]))
	case r.stride == 1:
		return r.fit(r.mulNarrow(f, g))
	}
	if b := r.field(f.Degree() + g.Degree()); b > 0 {
		return r.fit(r.unpack(r.mulNarrow(r.pack(f, b), r.pack(g, b)), b))
	}
	return r.fit(r.mulBucket(f, g))
}

// mulNarrow multiplies polynomials whose monomials are one word.
func (r *Ring) mulNarrow(f, g Poly) Poly {
	if out, ok := r.mulWords(f, g); ok {
		return out
	}
	return r.mulHash(f, g)
}

// payProduct spends what the products of all pairs of coefficients cost.
func (r *Ring) payProduct(f, g Poly) bool {
	n := f.Len() * g.Len()
	cost := n * budget.CostTermMul
	if v, w := words(f), words(g); v > f.Len() || w > g.Len() {
		cost += v * w * budget.CostBigMul
	}
	return r.pay(cost)
}

// words counts the machine words of the coefficients that are not small, and
// one for each small one.
func words(f Poly) int {
	n := len(f.coefs)
	for _, c := range f.coefs {
		if !c.Small() {
			n += c.Bits()/64 + 1
		}
	}
	return n
}

// mulTerm is f times the term c·m, where c ≠ 0.
func (r *Ring) mulTerm(f Poly, m []uint64, c number.Num) Poly {
	out := Poly{make([]uint64, len(f.mons)), make([]number.Num, len(f.coefs))}
	for k := range f.coefs {
		product(r.at(out, k), r.at(f, k), m)
		out.coefs[k] = f.coefs[k].Mul(c)
	}
	return out
}

// Square is f².
func (r *Ring) Square(f Poly) Poly { return r.Mul(f, f) }

// Pow is f^k with f^0 = 1. Domain: k ≥ 0; a negative k is read as 0.
//
// A sparse f is multiplied on k times, which costs less than squaring when
// the powers fill up (R. Fateman, On the computation of powers of sparse
// polynomials, Stud. Appl. Math. 53 (1974), from memory).
func (r *Ring) Pow(f Poly, k int) Poly {
	if k <= 0 {
		return r.Int(1)
	}
	if d := f.Degree(); d > 0 && (k > maxDegree || !r.degreeFits(d*k)) {
		r.m.Exceed("degree")
		return Poly{}
	}
	if f.Len() == 1 {
		return r.powTerm(f, k)
	}
	p := f
	for range k - 1 {
		if p.IsZero() {
			return p
		}
		p = r.Mul(p, f)
	}
	return p
}

// powTerm is the power of one term, whose coefficient may outgrow the limit
// on bits only by one squaring.
func (r *Ring) powTerm(f Poly, k int) Poly {
	p := r.Int(1)
	for square := f; !square.IsZero(); square = r.Mul(square, square) {
		if k&1 == 1 {
			p = r.Mul(p, square)
		}
		if k >>= 1; k == 0 {
			break
		}
	}
	return p
}
