package squares_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"squaremark/algebra/decide/squares"
	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// withRoots reads conditions in which the letters p and q stand for √2 and √3.
func withRoots(t *testing.T, text string) *evidence.Conjunction {
	c := read(t, text)
	for name, d := range map[string]int64{"p": 2, "q": 3} {
		if v, ok := c.Ring.Index(name); ok {
			root, _ := number.Int(d).Sqrt()
			for i := range c.Conds {
				c.Conds[i].P = c.Ring.Eval(c.Conds[i].P, v, root)
			}
		}
	}
	return c
}

func TestSquareRootsInCoefficients(t *testing.T) {
	for text, want := range map[string]bool{
		"x^4 + 2*y^4 < 2*p*x^2*y^2":          true,
		"x^4 + 2*y^4 < 3*x^2*y^2":            false,
		"x^2 + y^2 = 1; x + y > p":           true,
		"x^2 + y^2 = 1; x + y >= p":          false,
		"x^2 + y^2 + z^2 = 1; x + y + z > q": true,
		"r >= 0; s >= 0; t >= 0; r^2 = a; s^2 = b; t^2 = c; a + b + c = 1; r + s + t > q": true,
		"x > p; y > q; x*y <= p*q":              true,
		"x > 0; x + 2/x < 2*p":                  true,
		"x > 0; x + 2/x <= 2*p":                 false,
		"a > 0; b > 0; a^2 + b^2 < p*a*b":       true,
		"r >= 0; r^2 = a^2 + b^2; a + b > p*r":  true,
		"r >= 0; r^2 = a^2 + b^2; a + b >= p*r": false,
		"x*p > 3; x < 2":                        true,
		"x*p > 3; x < 3":                        false,
	} {
		c := withRoots(t, text)
		r, ok := squares.Refute(c, part(work))
		require.Equal(t, want, ok, text)
		if ok {
			require.NoError(t, evidence.CheckRefutation(c, r), text)
		}
	}
}

func TestManyRootsAreLeftInPlace(t *testing.T) {
	c := read(t, "x > 0; y > 0; x*y < 0")
	for _, d := range []int64{2, 3, 5} {
		root, _ := number.Int(d).Sqrt()
		c.Conds[0].P = c.Ring.Add(c.Conds[0].P, c.Ring.Const(root.Neg()))
	}
	r, ok := squares.Refute(c, part(work))
	require.True(t, ok)
	require.NoError(t, evidence.CheckRefutation(c, r))
	require.Equal(t, poly.Gt, c.Conds[0].Rel)
}
