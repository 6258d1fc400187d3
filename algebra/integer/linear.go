package integer

import (
	"math/big"

	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// matrix has rows of integers.
type matrix [][]*big.Int

func identity(n int) matrix {
	u := make(matrix, n)
	for i := range u {
		u[i] = make([]*big.Int, n)
		for j := range u[i] {
			u[i][j] = new(big.Int)
		}
		u[i][i].SetInt64(1)
	}
	return u
}

// columnForm is an integer matrix U with determinant ±1 such that in a·U the
// first rank columns are independent and the others zero: Euclid's algorithm
// on the columns, row by row. a is used up.
// Source: H. Cohen, A Course in Computational Algebraic Number Theory,
// section 2.4.2 (from memory).
func columnForm(a matrix, n int) (u matrix, rank int) {
	u = identity(n)
	both := func(f func(row []*big.Int)) {
		for _, row := range a {
			f(row)
		}
		for _, row := range u {
			f(row)
		}
	}
	for _, row := range a {
		for {
			least, more := -1, false
			for j := rank; j < n; j++ {
				if row[j].Sign() == 0 {
					continue
				}
				if least >= 0 {
					more = true
				}
				// The last of equals, so that x = y keeps y.
				if least < 0 || row[j].CmpAbs(row[least]) < 0 {
					least = j
				}
			}
			if least < 0 {
				break
			}
			if !more {
				both(func(r []*big.Int) { r[rank], r[least] = r[least], r[rank] })
				rank++
				break
			}
			for j := rank; j < n; j++ {
				if j == least || row[j].Sign() == 0 {
					continue
				}
				q := new(big.Int).Quo(row[j], row[least])
				both(func(r []*big.Int) { r[j] = new(big.Int).Sub(r[j], new(big.Int).Mul(q, r[least])) })
			}
		}
		if rank == n {
			break
		}
	}
	return u, rank
}

// turned is p in new slots z with slots = U·z. U has determinant ±1, so the
// new slots range over the integers exactly as the old ones do.
func (s *search) turned(p *problem, slots []int, u matrix) *problem {
	r := s.ring
	images := make([]poly.Poly, r.Len())
	for i := range images {
		images[i] = r.Var(i)
	}
	for i, v := range slots {
		var form poly.Poly
		for j, w := range slots {
			form = r.Add(form, r.Scale(r.Var(w), number.FromBigInt(u[i][j])))
		}
		images[v] = form
	}
	return s.changed(p, func(f poly.Poly) poly.Poly { return s.compose(f, images) })
}

// compose puts a polynomial in for every slot at once.
func (s *search) compose(f poly.Poly, images []poly.Poly) poly.Poly {
	r := s.ring
	var terms []poly.Poly
	r.Each(f, func(exps []uint8, c number.Num) bool {
		t := r.Const(c)
		for i, e := range exps {
			if e > 0 {
				t = r.Mul(t, r.Pow(images[i], int(e)))
			}
		}
		terms = append(terms, t)
		return true
	})
	return r.Sum(terms...)
}

// linear takes a linear equation: a slot with coefficient ±1 is replaced by
// the rest, otherwise new slots are made of which the equation holds one only
// (whether the constant is divisible is seen when that equation is made
// normal). done is false when there is no linear equation.
func (s *search) linear(p *problem) (done, settled bool) {
	for _, c := range p.conds {
		if c.Rel != poly.Eq || c.P.Degree() != 1 || !c.P.IsRational() {
			continue
		}
		cs, _, ok := s.ring.Linear(c.P)
		if !ok {
			continue
		}
		var row []*big.Int
		var slots []int
		for v, a := range cs {
			if a.IsZero() {
				continue
			}
			if a.Abs().IsOne() {
				rest := s.ring.Sub(s.ring.Var(v), s.ring.Scale(c.P, a)) // 1/a = a
				return true, s.solve(s.substituted(p, v, rest))
			}
			slots, row = append(slots, v), append(row, a.Floor())
		}
		if len(slots) < 2 {
			continue
		}
		u, _ := columnForm(matrix{row}, len(slots))
		return true, s.solve(s.turned(p, slots, u))
	}
	return false, false
}

// solved takes an equation that gives one slot as a polynomial with integer
// coefficients in the others: v = g.
func (s *search) solved(p *problem) (done, settled bool) {
	for _, c := range p.conds {
		if c.Rel != poly.Eq || !c.P.IsRational() {
			continue
		}
		for _, v := range s.ring.Vars(c.P) {
			cs := s.ring.Coeffs(c.P, v)
			if len(cs) != 2 {
				continue
			}
			if a, ok := cs[1].IsConst(); ok && a.Abs().IsOne() {
				return true, s.solve(s.substituted(p, v, s.ring.Scale(cs[0], a.Neg())))
			}
		}
	}
	return false, false
}

// kernel takes a condition whose terms of degree 2 depend on fewer linear
// forms than slots, such as (x − y)² ≤ 4, and makes these forms slots.
func (s *search) kernel(p *problem) (done, settled bool) {
	for _, c := range p.conds {
		if c.Rel == poly.Ne || c.P.Degree() != 2 || !c.P.IsRational() {
			continue
		}
		slots, form := s.quadraticForm(c.P)
		u, rank := columnForm(form, len(slots))
		if rank < len(slots) {
			return true, s.solve(s.turned(p, slots, u))
		}
	}
	return false, false
}

// quadraticForm is twice the symmetric matrix of the terms of degree 2, over
// the slots that occur in them.
func (s *search) quadraticForm(f poly.Poly) ([]int, matrix) {
	r := s.ring
	place := make([]int, r.Len())
	var slots []int
	r.Each(f, func(exps []uint8, _ number.Num) bool {
		sum := 0
		for _, e := range exps {
			sum += int(e)
		}
		for v, e := range exps {
			if sum == 2 && e > 0 {
				place[v] = 1
			}
		}
		return true
	})
	for v, in := range place {
		if in > 0 {
			place[v] = len(slots)
			slots = append(slots, v)
		}
	}
	m := make(matrix, len(slots))
	for i, v := range slots {
		m[i] = make([]*big.Int, len(slots))
		for j, w := range slots {
			exps := make([]int, r.Len())
			exps[v]++
			exps[w]++
			m[i][j] = r.Coef(f, exps).Floor()
			if i == j {
				m[i][j].Lsh(m[i][j], 1)
			}
		}
	}
	return slots, m
}
