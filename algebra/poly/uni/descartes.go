package uni

import (
	"math/big"

	"squaremark/algebra/budget"
	"squaremark/algebra/number"
)

// cell is the open interval between at·2^scale and (at+1)·2^scale, or the
// point at·2^scale itself.
type cell struct {
	at    *big.Int
	scale int
	point bool
}

// ends are the ends of the cell, equal for a point.
func (c cell) ends() (lo, hi number.Num) {
	lo = dyadic(c.at, c.scale)
	if c.point {
		return lo, lo
	}
	return lo, dyadic(new(big.Int).Add(c.at, big.NewInt(1)), c.scale)
}

// dyadic is k·2^scale.
func dyadic(k *big.Int, scale int) number.Num {
	if scale >= 0 {
		return number.FromBigInt(new(big.Int).Lsh(k, uint(scale)))
	}
	one := big.NewInt(1)
	return number.FromRat(new(big.Rat).SetFrac(k, one.Lsh(one, uint(-scale))))
}

// search is a cell with the polynomial moved so that the cell is (0, 1).
type search struct {
	q    ints
	cell cell
}

// positiveRoots isolates the positive roots of a square-free z with z(0) ≠ 0,
// rising.
func positiveRoots(z ints, m *budget.Meter) []cell {
	k, any := rootBound(z)
	if !any {
		return nil
	}
	var out []cell
	todo := []search{{stretch(z, k), cell{at: new(big.Int), scale: k}}}
	for len(todo) > 0 {
		s := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if s.cell.point {
			out = append(out, s.cell)
			continue
		}
		n := len(s.q)
		if !m.Spend(int64(budget.CostRootStep * (1 + n*n*(1+s.q.bits()/64)/64))) {
			return nil
		}
		switch signChangesOnUnit(s.q) {
		case 0:
		case 1:
			out = append(out, s.cell)
		default:
			todo = append(todo, s.split()...)
		}
	}
	return out
}

// split halves the cell: right half, middle point if it is a root, left half.
func (s search) split() []search {
	n := len(s.q) - 1
	left := s.q
	for k, c := range left {
		c.Lsh(c, uint(n-k)) // 2^n·q(x/2)
	}
	right := left.clone()
	shiftByOne(right)
	at := new(big.Int).Lsh(s.cell.at, 1)
	mid := new(big.Int).Add(at, big.NewInt(1))
	scale := s.cell.scale - 1
	out := make([]search, 0, 3)
	if right[0].Sign() != 0 {
		return append(out, search{right, cell{at: mid, scale: scale}},
			search{left, cell{at: at, scale: scale}})
	}
	return append(out, search{right[1:], cell{at: mid, scale: scale}},
		search{cell: cell{at: mid, scale: scale, point: true}},
		search{left, cell{at: at, scale: scale}})
}

// shiftByOne writes q(x+1) over q.
func shiftByOne(q ints) {
	for i := range len(q) - 1 {
		for j := len(q) - 2; j >= i; j-- {
			q[j].Add(q[j], q[j+1])
		}
	}
}

// signChangesOnUnit is the number of sign changes of (1+x)^n·q(1/(1+x)): 0 or
// 1 is the number of roots of q in (0, 1), 2 stands for two or more, which
// leaves it open.
func signChangesOnUnit(q ints) int {
	n := len(q)
	t := make([]big.Int, n)
	for k, c := range q {
		t[n-1-k].Set(c)
	}
	changes, last := 0, 0
	for i := range n {
		for j := n - 2; j >= i; j-- {
			t[j].Add(&t[j], &t[j+1])
		}
		if s := t[i].Sign(); s != 0 {
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

// stretch is z(2^k·x), times a power of 2 when k is negative.
func stretch(z ints, k int) ints {
	out := make(ints, len(z))
	for i, c := range z {
		e := k * i
		if k < 0 {
			e = -k * (len(z) - 1 - i)
		}
		out[i] = new(big.Int).Lsh(c, uint(e))
	}
	return out
}

// rootBound is a k for which every positive root of z is below 2^k; false
// when no coefficient has the sign against the leading one, so that there is
// none. Source: a root is at most 2·max |a_(n−i)/a_n|^(1/i) over the
// coefficients of that sign (J. B. Kioustelidis, Bounds for positive roots of
// polynomials, J. Comput. Appl. Math. 16 (1986), from memory); strict since
// |a| < 2^BitLen(a) and |a_n| ≥ 2^(BitLen(a_n)−1).
func rootBound(z ints) (k int, any bool) {
	n := len(z) - 1
	lead := z[n]
	for i := 1; i <= n; i++ {
		c := z[n-i]
		if c.Sign()*lead.Sign() >= 0 {
			continue
		}
		e := c.BitLen() - lead.BitLen() + 1
		up := e / i
		if e > 0 && e%i != 0 {
			up++
		}
		if !any || up+1 > k {
			k, any = up+1, true
		}
	}
	return k, any
}
