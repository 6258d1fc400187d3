// Package uni computes with polynomials in one variable whose coefficients
// are exact numbers, and isolates their real roots. Nothing is rounded.
//
// Files: uni.go arithmetic, ints.go the same polynomials over the integers,
// gcd.go common factors, isolate.go and descartes.go roots of rational
// polynomials, sturm.go roots when coefficients hold square roots, root.go
// one root: refining, signs at it, order, quadratic values.
//
// Arithmetic on polynomials is not metered: the caller bounds the degree.
// What searches (gcd, isolation, refining) takes a meter.
//
// Not covered: complex roots, factoring.
package uni

import (
	"slices"
	"strconv"
	"strings"

	"squaremark/algebra/number"
)

// Uni is a polynomial, lowest coefficient first, the last one not 0; nil is
// the zero polynomial. It is immutable by convention.
type Uni []number.Num

// New is the polynomial with these coefficients, lowest first, which are
// copied; leading zeros are dropped.
func New(coefs ...number.Num) Uni { return trim(slices.Clone(coefs)) }

// Ints is New of machine integers.
func Ints(coefs ...int64) Uni {
	f := make(Uni, len(coefs))
	for i, c := range coefs {
		f[i] = number.Int(c)
	}
	return trim(f)
}

func trim(f Uni) Uni {
	for len(f) > 0 && f[len(f)-1].IsZero() {
		f = f[:len(f)-1]
	}
	if len(f) == 0 {
		return nil
	}
	return f
}

// Degree is the degree, −1 for the zero polynomial.
func (f Uni) Degree() int { return len(f) - 1 }

// IsZero reports f = 0.
func (f Uni) IsZero() bool { return len(f) == 0 }

// Lead is the leading coefficient, 0 for the zero polynomial.
func (f Uni) Lead() number.Num { return f.Coef(f.Degree()) }

// Coef is the coefficient of the power k, 0 where there is none.
func (f Uni) Coef(k int) number.Num {
	if k < 0 || k >= len(f) {
		return number.Num{}
	}
	return f[k]
}

// IsRational reports that no coefficient has a square root in it.
func (f Uni) IsRational() bool {
	return !slices.ContainsFunc(f, func(c number.Num) bool { return !c.IsRational() })
}

// Equal reports f = g.
func (f Uni) Equal(g Uni) bool { return slices.EqualFunc(f, g, number.Num.Equal) }

// Add is f + g.
func (f Uni) Add(g Uni) Uni {
	sum := make(Uni, max(len(f), len(g)))
	for k := range sum {
		sum[k] = f.Coef(k).Add(g.Coef(k))
	}
	return trim(sum)
}

// Sub is f − g.
func (f Uni) Sub(g Uni) Uni {
	diff := make(Uni, max(len(f), len(g)))
	for k := range diff {
		diff[k] = f.Coef(k).Sub(g.Coef(k))
	}
	return trim(diff)
}

// Neg is −f.
func (f Uni) Neg() Uni { return f.Scale(number.Int(-1)) }

// Scale is c·f.
func (f Uni) Scale(c number.Num) Uni {
	out := make(Uni, len(f))
	for k, a := range f {
		out[k] = a.Mul(c)
	}
	return trim(out)
}

// Mul is f·g.
func (f Uni) Mul(g Uni) Uni {
	if f.IsZero() || g.IsZero() {
		return nil
	}
	out := make(Uni, len(f)+len(g)-1)
	for i, a := range f {
		for j, b := range g {
			out[i+j] = out[i+j].Add(a.Mul(b))
		}
	}
	return trim(out)
}

// Pow is f^k with f^0 = 1. Domain: k ≥ 0; a negative k is read as 0.
func (f Uni) Pow(k int) Uni {
	p := Ints(1)
	for range k {
		p = p.Mul(f)
	}
	return p
}

// DivRem is f = q·g + rest with rest of lower degree than g; false for g = 0
// and when the leading coefficient of g has too many independent roots to be
// inverted.
func (f Uni) DivRem(g Uni) (q, rest Uni, ok bool) {
	inv, ok := g.Lead().Inv()
	if !ok {
		return nil, nil, false
	}
	rest = slices.Clone(f)
	if len(f) < len(g) {
		return nil, trim(rest), true
	}
	q = make(Uni, len(f)-len(g)+1)
	for k := len(q) - 1; k >= 0; k-- {
		c := rest[k+len(g)-1].Mul(inv)
		if c.IsZero() {
			continue
		}
		q[k] = c
		for j, b := range g {
			rest[k+j] = rest[k+j].Sub(c.Mul(b))
		}
	}
	return trim(q), trim(rest[:len(g)-1]), true
}

// Derivative is f'.
func (f Uni) Derivative() Uni {
	if len(f) < 2 {
		return nil
	}
	out := make(Uni, len(f)-1)
	for k := range out {
		out[k] = f[k+1].Mul(number.Int(int64(k + 1)))
	}
	return trim(out)
}

// Eval is f(x). Source: Horner's rule.
func (f Uni) Eval(x number.Num) number.Num {
	var y number.Num
	for k := len(f) - 1; k >= 0; k-- {
		y = y.Mul(x).Add(f[k])
	}
	return y
}

// SignAt is the sign of f(x).
func (f Uni) SignAt(x number.Num) int { return f.Eval(x).Sign() }

// Compose is f(g).
func (f Uni) Compose(g Uni) Uni {
	var y Uni
	for k := len(f) - 1; k >= 0; k-- {
		y = y.Mul(g).Add(New(f[k]))
	}
	return y
}

// Text writes f in the named variable, highest power first: x^2 - 2*x + 3/2.
// A coefficient of several terms stands in brackets.
func (f Uni) Text(name string) string {
	if f.IsZero() {
		return "0"
	}
	var b strings.Builder
	for k := len(f) - 1; k >= 0; k-- {
		c := f[k]
		if c.IsZero() {
			continue
		}
		sum := strings.Contains(c.String(), " ")
		if !sum && c.Sign() < 0 {
			c = c.Neg()
			b.WriteString([]string{" - ", "-"}[max(0, k-len(f)+2)])
		} else if k < len(f)-1 {
			b.WriteString(" + ")
		}
		power := []string{"", name, name + "^" + strconv.Itoa(k)}[min(k, 2)]
		switch {
		case sum && len(f) > 1:
			b.WriteString("(" + c.String() + ")")
		case k == 0 || !c.IsOne():
			b.WriteString(c.String())
		default:
			b.WriteString(power)
			continue
		}
		if k > 0 {
			b.WriteString("*" + power)
		}
	}
	return b.String()
}

// String is Text in x.
func (f Uni) String() string { return f.Text("x") }
