package poly_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"squaremark/algebra/budget"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

func ring(names ...string) *poly.Ring {
	return poly.NewRing(names, budget.New(budget.Default()))
}

func roomy(names ...string) *poly.Ring {
	l := budget.Default()
	l.Work, l.Terms, l.Degree = 1<<60, 1<<20, 255
	return poly.NewRing(names, budget.New(l))
}

// letters is a ring with a variable for each letter.
func letters(word string) *poly.Ring { return ring(strings.Split(word, "")...) }

// read evaluates sums, products, powers and brackets, so that rows of tables
// can be checked by eye; sqrt(5) is a number.
func read(t testing.TB, r *poly.Ring, text string) poly.Poly {
	t.Helper()
	p := &reading{t: t, r: r, text: text, rest: strings.ReplaceAll(text, " ", "")}
	f := p.sum()
	require.Empty(t, p.rest, "unread in %q", text)
	require.NoError(t, r.Meter().Err())
	return f
}

type reading struct {
	t          testing.TB
	r          *poly.Ring
	text, rest string
}

func (p *reading) take(word string) bool {
	rest, ok := strings.CutPrefix(p.rest, word)
	p.rest = rest
	return ok
}

func (p *reading) sum() poly.Poly {
	var f poly.Poly
	if p.take("-") {
		f = p.r.Neg(p.product())
	} else {
		f = p.product()
	}
	for {
		switch {
		case p.take("+"):
			f = p.r.Add(f, p.product())
		case p.take("-"):
			f = p.r.Sub(f, p.product())
		default:
			return f
		}
	}
}

func (p *reading) product() poly.Poly {
	f := p.power()
	for {
		switch {
		case p.take("*"):
			f = p.r.Mul(f, p.power())
		case p.take("/"):
			c, ok := p.power().IsConst()
			require.True(p.t, ok, "division in %q", p.text)
			inv, ok := c.Inv()
			require.True(p.t, ok, "division in %q", p.text)
			f = p.r.Scale(f, inv)
		default:
			return f
		}
	}
}

func (p *reading) power() poly.Poly {
	f := p.atom()
	if p.take("^") {
		k, ok := number.Parse(p.digits())
		require.True(p.t, ok, "exponent in %q", p.text)
		n, _ := k.Int64()
		f = p.r.Pow(f, int(n))
	}
	return f
}

func (p *reading) digits() string {
	n := 0
	for n < len(p.rest) && '0' <= p.rest[n] && p.rest[n] <= '9' {
		n++
	}
	word := p.rest[:n]
	p.rest = p.rest[n:]
	return word
}

func (p *reading) atom() poly.Poly {
	if p.take("sqrt") {
		c, _ := p.atom().IsConst()
		root, ok := c.Sqrt()
		require.True(p.t, ok, "root in %q", p.text)
		return p.r.Const(root)
	}
	if p.take("(") {
		f := p.sum()
		require.True(p.t, p.take(")"), "bracket in %q", p.text)
		return f
	}
	if c, ok := number.Parse(p.digits()); ok {
		return p.r.Const(c)
	}
	for i, name := range p.r.Names() {
		if p.take(name) {
			return p.r.Var(i)
		}
	}
	require.Fail(p.t, "unexpected", "%q in %q", p.rest, p.text)
	return poly.Poly{}
}
