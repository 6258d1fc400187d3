package poly_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"squaremark/algebra/budget"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

func ring(names ...string) *poly.Ring {
	return poly.NewRing(names, budget.New(budget.Default()))
}

func TestSmoke(t *testing.T) {
	r := ring("x", "y", "z")
	x, y, z := r.Var(0), r.Var(1), r.Var(2)
	s := r.Sum(x, y, z)
	require.Equal(t, "x^2 + 2*x*y + 2*x*z + y^2 + 2*y*z + z^2", r.String(r.Pow(s, 2)))
	p := r.Pow(s, 6)
	q, ok := r.DivExact(p, r.Pow(s, 4))
	require.True(t, ok)
	require.True(t, r.Equal(q, r.Pow(s, 2)))
	a := r.Sub(r.Mul(x, x), r.Mul(y, z))
	require.Equal(t, r.String(s), r.String(r.GCD(r.Mul(a, s), r.Mul(r.Add(a, y), s))))
	require.Equal(t, "1", r.String(r.GCD(a, r.Add(a, y))))
	f := r.Mul(r.Mul(a, r.Pow(s, 3)), r.Scale(r.Pow(x, 2), number.Frac(-3, 2)))
	for _, fac := range r.SquareFree(f) {
		t.Log(r.String(fac.Base), fac.Mult)
	}
	t.Log(r.Content(f))
	u := ring("a", "b", "c", "x")
	ax := u.Add(u.Mul(u.Var(0), u.Pow(u.Var(3), 2)), u.Add(u.Mul(u.Var(1), u.Var(3)), u.Var(2)))
	require.Equal(t, "-4*a*c + b^2", u.String(u.Discriminant(ax, 3)))
	require.NoError(t, r.Meter().Err())
	require.NoError(t, u.Meter().Err())
}
