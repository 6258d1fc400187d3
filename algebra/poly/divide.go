package poly

import (
	"squaremark/algebra/budget"
	"squaremark/algebra/number"
)

// DivExact is the q with f = q·g, if g divides f. Domain: g ≠ 0; for g = 0
// the answer is false, and so it is when the meter is exhausted.
func (r *Ring) DivExact(f, g Poly) (Poly, bool) {
	if g.IsZero() {
		return Poly{}, false
	}
	if c, ok := g.IsConst(); ok {
		return r.Scale(f, r.divNum(number.Int(1), c)), true
	}
	if !r.mayDivide(g, f) {
		return Poly{}, false
	}
	q, rest := r.reduce(f, []Poly{g}, true)
	return q[0], rest.IsZero() && !r.m.Exhausted()
}

// mayDivide compares the leading and the last terms of g and f, which must
// divide when g divides f.
func (r *Ring) mayDivide(g, f Poly) bool {
	return f.IsZero() || divides(r.at(g, 0), r.at(f, 0)) &&
		divides(r.at(g, g.Len()-1), r.at(f, f.Len()-1))
}

// Reduce divides f by several polynomials: f = Σ q[k]·basis[k] + rest, where
// no term of rest is divisible by a leading term of the basis. The first that
// fits is used, so that rest depends on the order unless the basis is a
// Gröbner basis. Zeros in the basis are passed over.
//
// Source: D. Cox, J. Little, D. O'Shea, Ideals, Varieties, and Algorithms,
// chapter 2, section 3.
func (r *Ring) Reduce(f Poly, basis []Poly) (quotients []Poly, rest Poly) {
	return r.reduce(f, basis, false)
}

// reduce is Reduce; in exact mode it ends at the first term that is left.
func (r *Ring) reduce(f Poly, basis []Poly, exact bool) ([]Poly, Poly) {
	quotients := make([]Poly, len(basis))
	inverse := make([]number.Num, len(basis))
	for k, g := range basis {
		if !g.IsZero() {
			inverse[k] = r.divNum(number.Int(1), g.coefs[0])
		}
	}
	var rest Poly
	var b bucket
	b.add(r, f)
	for r.pay(budget.CostTerm) {
		m, c := b.pop(r)
		if c.IsZero() {
			return r.fitAll(quotients), r.fit(rest)
		}
		k := r.divisor(m, basis)
		if k < 0 {
			rest.mons, rest.coefs = append(rest.mons, m...), append(rest.coefs, c)
			if exact {
				break
			}
			continue
		}
		g, q := basis[k], &quotients[k]
		at := len(q.mons)
		q.mons = append(q.mons, m...)
		quotient(q.mons[at:], m, r.at(g, 0))
		c = c.Mul(inverse[k])
		q.coefs = append(q.coefs, c)
		tail := Poly{g.mons[r.stride:], g.coefs[1:]}
		if !r.payProduct(tail, Poly{coefs: []number.Num{c}}) || c.Bits() > r.m.Limits.Bits {
			r.m.Exceed("bits")
			break
		}
		b.add(r, r.mulTerm(tail, q.mons[at:], c.Neg()))
	}
	return make([]Poly, len(basis)), rest
}

// divisor is the place of the first basis element whose leading monomial
// divides m, or −1.
func (r *Ring) divisor(m []uint64, basis []Poly) int {
	for k, g := range basis {
		if !g.IsZero() && divides(r.at(g, 0), m) {
			return k
		}
	}
	return -1
}

func (r *Ring) fitAll(fs []Poly) []Poly {
	for k, f := range fs {
		fs[k] = r.fit(f)
	}
	return fs
}
