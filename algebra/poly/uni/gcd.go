package uni

import (
	"math/big"

	"squaremark/algebra/budget"
	"squaremark/algebra/poly/internal/prime"
)

// GCD is the greatest common divisor with coprime integer coefficients and a
// positive leading one, or with leading coefficient 1 when no multiple is
// rational; GCD(0, 0) = 0. An exhausted meter makes the result meaningless.
//
// Source: the image modulo a prime proves most pairs coprime; otherwise the
// primitive remainder sequence (Knuth, The Art of Computer Programming 2,
// section 4.6.1, algorithm E).
func GCD(f, g Uni, m *budget.Meter) Uni {
	x, ok1 := toInts(f)
	y, ok2 := toInts(g)
	if ok1 && ok2 {
		return gcdInts(x, y, m).uni()
	}
	for !g.IsZero() {
		if !m.Spend(int64(len(f) * len(g) * budget.CostBigMul)) {
			return Ints(1)
		}
		_, rest, ok := f.DivRem(g)
		if !ok {
			m.Exceed("bits")
			return Ints(1)
		}
		f, g = g, monic(rest, m)
	}
	return normed(f, m)
}

// normed is the multiple of f that GCD and SquareFreePart give.
func normed(f Uni, m *budget.Meter) Uni {
	if f = monic(f, m); f.IsRational() {
		z, _ := toInts(f)
		return z.uni()
	}
	return f
}

// monic divides by the leading coefficient.
func monic(f Uni, m *budget.Meter) Uni {
	if f.IsZero() {
		return f
	}
	inv, ok := f.Lead().Inv()
	if !ok {
		m.Exceed("bits")
		return f
	}
	g := f.Scale(inv)
	for _, c := range g {
		if c.Bits() > m.Limits.Bits {
			m.Exceed("bits")
		}
	}
	return g
}

// gcdInts is the primitive greatest common divisor.
func gcdInts(x, y ints, m *budget.Meter) ints {
	if len(x) < len(y) {
		x, y = y, x
	}
	if len(y) == 0 {
		return x.primitive()
	}
	if !m.Spend(int64(len(x) * len(y) * budget.CostTermMul)) {
		return ints{big.NewInt(1)}
	}
	a, ok1 := x.image()
	b, ok2 := y.image()
	if ok1 && ok2 && prime.GCDDegree(a, b) == 0 {
		return ints{big.NewInt(1)}
	}
	x, y = x.clone(), y.clone()
	for len(y) > 0 {
		cost := (len(x) - len(y) + 1) * len(y) * (1 + (x.bits()+y.bits())/64)
		if x.bits() > m.Limits.Bits {
			m.Exceed("bits")
		}
		if !m.Spend(int64(cost) * budget.CostBigMul) {
			return ints{big.NewInt(1)}
		}
		x, y = y, x.pseudoRem(y).primitive()
	}
	return x.primitive()
}

// pseudoRem divides crosswise, writing over z.
func (z ints) pseudoRem(y ints) ints {
	lead, t := y[len(y)-1], new(big.Int)
	for len(z) >= len(y) {
		top := new(big.Int).Set(z[len(z)-1])
		at := len(z) - len(y)
		for k, c := range z {
			c.Mul(c, lead)
			if k >= at {
				c.Sub(c, t.Mul(y[k-at], top))
			}
		}
		for len(z) > 0 && z[len(z)-1].Sign() == 0 {
			z = z[:len(z)-1]
		}
	}
	return z
}

// SquareFreePart is f without repeated factors, normed as in GCD: it has the
// roots of f, each once. The zero polynomial gives itself.
func SquareFreePart(f Uni, m *budget.Meter) Uni {
	if z, ok := toInts(f); ok {
		return squareFreeInts(z, m).uni()
	}
	f = monic(f, m)
	q, _, ok := f.DivRem(GCD(f, f.Derivative(), m))
	if !ok {
		return f
	}
	return normed(q, m)
}

func squareFreeInts(z ints, m *budget.Meter) ints {
	if len(z) < 2 {
		return z
	}
	g := gcdInts(z, z.derivative(), m)
	if len(g) == 1 {
		return z
	}
	return z.quotient(g)
}

// quotient is z/g for primitive polynomials of which g divides z; otherwise
// the result means nothing.
func (z ints) quotient(g ints) ints {
	q, _ := z.divide(g)
	return q
}

// divide is z/g over the integers, if every step is exact.
func (z ints) divide(g ints) (ints, bool) {
	if len(z) < len(g) {
		return nil, len(z) == 0
	}
	rest := z.clone()
	q := make(ints, len(z)-len(g)+1)
	lead, t := g[len(g)-1], new(big.Int)
	for k := len(q) - 1; k >= 0; k-- {
		q[k] = new(big.Int)
		if q[k].QuoRem(rest[k+len(g)-1], lead, t); t.Sign() != 0 {
			return nil, false
		}
		for j, c := range g {
			rest[k+j].Sub(rest[k+j], t.Mul(c, q[k]))
		}
	}
	for _, c := range rest[:len(g)-1] {
		if c.Sign() != 0 {
			return nil, false
		}
	}
	return q, true
}
