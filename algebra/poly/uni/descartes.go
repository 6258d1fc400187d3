package uni

import (
	"math/big"
	"slices"

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

// search is a cell with the polynomial moved so that the cell is (0, 1): in w
// while machine words hold it, then in q.
type search struct {
	q    ints
	w    pairs
	cell cell
}

// bisection is the room that all cells work in.
type bisection struct {
	t []big.Int
	w pairs
}

// positiveRoots isolates the positive roots of a square-free z with z(0) ≠ 0,
// rising.
func positiveRoots(z ints, m *budget.Meter) []cell {
	k, any := rootBound(z)
	if !any {
		return nil
	}
	var out []cell
	room := bisection{make([]big.Int, len(z)), make(pairs, len(z))}
	first := search{q: stretch(z, k), cell: cell{at: new(big.Int), scale: k}}
	if first.q.bits()+len(z) <= pairBits {
		first.w = toPairs(first.q)
	}
	for todo := []search{first}; len(todo) > 0; {
		s := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if s.cell.point {
			out = append(out, s.cell)
			continue
		}
		if !m.Spend(s.cost()) {
			return nil
		}
		switch room.signChanges(s) {
		case 0:
		case 1:
			out = append(out, s.cell)
		default:
			todo = s.split(todo)
		}
	}
	return out
}

// cost grows with the square of the degree and with the coefficients.
func (s search) cost() int64 {
	n, words := len(s.w), 1
	if s.w == nil {
		n, words = len(s.q), 1+s.q.bits()/64
	}
	return int64(budget.CostRootStep * (1 + n*n*words/64))
}

func (b bisection) signChanges(s search) int {
	if s.w != nil {
		return s.w.signChangesOnUnit(b.w)
	}
	return signChangesOnUnit(s.q, b.t)
}

// split pushes the right half of the cell, its middle if that is a root, and
// the left half.
func (s search) split(todo []search) []search {
	at := new(big.Int).Lsh(s.cell.at, 1)
	mid := new(big.Int).Add(at, big.NewInt(1))
	scale := s.cell.scale - 1
	left := search{cell: cell{at: at, scale: scale}}
	right := search{cell: cell{at: mid, scale: scale}}
	var root bool
	// Halving multiplies by up to 2^n, moving by 1 adds up to n bits, and so
	// does the count of sign changes after it.
	if n := len(s.w); s.w != nil && s.w.bits()+3*n <= pairBits {
		left.w, right.w, root = s.w.halves()
	} else {
		if s.w != nil {
			s.q = s.w.ints()
		}
		left.q, right.q, root = s.q.halves()
	}
	if todo = append(todo, right); root {
		todo = append(todo, search{cell: cell{at: mid, scale: scale, point: true}})
	}
	return append(todo, left)
}

// halves is 2^n·q(x/2), written over q, and that at x+1, without the root 0
// if it has it.
func (q ints) halves() (left, right ints, root bool) {
	for k, c := range q {
		c.Lsh(c, uint(len(q)-1-k))
	}
	right = q.clone()
	shiftByOne(right)
	if right[0].Sign() == 0 {
		return q, right[1:], true
	}
	return q, right, false
}

// halves is as for ints.
func (q pairs) halves() (left, right pairs, root bool) {
	for k, c := range q {
		q[k] = c.shift(uint(len(q) - 1 - k))
	}
	right = slices.Clone(q)
	right.shiftByOne()
	if right[0].sign() == 0 {
		return q, right[1:], true
	}
	return q, right, false
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
// leaves it open. t is room to work in, as long as q at least.
func signChangesOnUnit(q ints, t []big.Int) int {
	n := len(q)
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
