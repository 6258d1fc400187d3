package squares_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"squaremark/algebra/budget"
	"squaremark/algebra/decide/internal/written"
	"squaremark/algebra/decide/squares"
	"squaremark/algebra/evidence"
)

const work = 3_000_000

// facts lists conditions that cannot hold together: the assumptions of a known
// inequality and its negation. All sources from memory.
var facts = []struct{ name, text string }{
	{"two squares", "a^2 + b^2 < 2*a*b"},
	{"ratio and its inverse", "a*b > 0; a/b + b/a < 2"},
	{"means of two", "a > 0; b > 0; (a + b)^2 < 4*a*b"},
	{"means of two, roots", "s >= 0; t >= 0; s^2 = x; t^2 = y; x + y < 2*s*t"},
	{"means of three", "a > 0; b > 0; c > 0; a^3 + b^3 + c^3 < 3*a*b*c"},
	{"means of three, weak signs", "a >= 0; b >= 0; c >= 0; a^3 + b^3 + c^3 < 3*a*b*c"},
	{"means of three, product", "a > 0; b > 0; c > 0; (a + b + c)^3 < 27*a*b*c"},
	{"means of four", "a^4 + b^4 + c^4 + d^4 < 4*a*b*c*d"},
	{"Cauchy-Schwarz for two", "(a^2 + b^2)*(x^2 + y^2) < (a*x + b*y)^2"},
	{"Cauchy-Schwarz for three", "(a^2 + b^2 + c^2)*(x^2 + y^2 + z^2) < (a*x + b*y + c*z)^2"},
	{"harmonic", "a > 0; b > 0; c > 0; (a + b + c)*(1/a + 1/b + 1/c) < 9"},
	{"Nesbitt (1903)", "a > 0; b > 0; c > 0; a/(b+c) + b/(c+a) + c/(a+b) < 3/2"},
	{"Schur, degree one", "x >= 0; y >= 0; z >= 0; x*(x-y)*(x-z) + y*(y-z)*(y-x) + z*(z-x)*(z-y) < 0"},
	{"Schur, degree two", "x > 0; y > 0; z > 0; x^2*(x-y)*(x-z) + y^2*(y-z)*(y-x) + z^2*(z-x)*(z-y) < 0"},
	{"Motzkin (1967), one variable 1", "x^4*y^2 + x^2*y^4 + 1 < 3*x^2*y^2"},
	{"Motzkin (1967)", "x^4*y^2 + x^2*y^4 + z^6 < 3*x^2*y^2*z^2"},
	{"Robinson (1973)", "x^6 + y^6 + z^6 + 3*x^2*y^2*z^2 < x^4*y^2 + x^4*z^2 + y^4*x^2 + y^4*z^2 + z^4*x^2 + z^4*y^2"},
	{"Choi and Lam (1977)", "x^4*y^2 + y^4*z^2 + z^4*x^2 < 3*x^2*y^2*z^2"},
	{"Choi and Lam (1977), four variables", "1 + x^2*y^2 + y^2*z^2 + z^2*x^2 < 4*x*y*z"},
	{"fourth powers", "a^4 + b^4 + c^4 < a*b*c*(a + b + c)"},
	{"Cirtoaje (1992)", "(a^2 + b^2 + c^2)^2 < 3*(a^3*b + b^3*c + c^3*a)"},
	{"given product", "a > 0; b > 0; c > 0; a*b*c = 1; a + b + c < 3"},
	{"given sum", "a > 0; b > 0; c > 0; a + b + c = 3; a*b*c > 1"},
	{"given sum, squares", "a + b + c = 3; a^2 + b^2 + c^2 < 3"},
	{"given sum, any sign", "a + b + c = 3; a*b + b*c + c*a > 3"},
	{"triangle", "a + b > c; b + c > a; c + a > b; a^2 + b^2 + c^2 >= 2*(a*b + b*c + c*a)"},
	{"triangle, Padoa", "a + b > c; b + c > a; c + a > b; (a + b - c)*(b + c - a)*(c + a - b) > a*b*c"},
	{"bounded sum", "x > 0; y > 0; x + y <= 1; x*y > 1/4"},
	{"bounded sum, inverses", "x > 0; y > 0; x + y <= 1; 1/x + 1/y < 4"},
	{"bounded sum, (1+1/x)(1+1/y)", "x > 0; y > 0; x + y = 1; (1 + 1/x)*(1 + 1/y) < 9"},
	{"unit circle", "x^2 + y^2 = 1; x + y > 3/2"},
	{"unit circle, product", "x^2 + y^2 = 1; x*y > 1/2"},
	{"cube against square", "a > 0; b > 0; a^3 + b^3 < a^2*b + a*b^2"},
	{"fifth powers", "a > 0; b > 0; a^5 + b^5 < a^3*b^2 + a^2*b^3"},
	{"above one", "x > 1; y > 1; x*y + 1 < x + y"},
	{"in the unit square", "x >= 0; x <= 1; y >= 0; y <= 1; x + y > 1 + x*y"},
	{"sum of inverses", "a > 0; b > 0; 1/a + 1/b < 4/(a + b)"},
	{"ordered", "a >= b; b >= c; c >= 0; a^2*(b-c) + b^2*(c-a) + c^2*(a-b) < 0"},
	{"strict on positives", "x > 0; y > 0; x^2 + y^2 <= x*y"},
	{"strict sum", "x > 0; y > 0; z > 0; (x+y)*(y+z)*(z+x) <= 7*x*y*z"},
	{"(x+y)(y+z)(z+x)", "x > 0; y > 0; z > 0; (x+y)*(y+z)*(z+x) < 8*x*y*z"},
	{"quartic in one place", "x^4 - 4*x + 3 < 0"},
	{"transitive", "a > b; b > c; c > a"},
	{"square keeps order", "a > b; b > 0; a^2 <= b^2"},
	{"roots keep order", "s >= 0; t >= 0; s^2 > t^2; s <= t"},
	{"not both", "x*y > 0; x > 0; y < 0"},
	{"fraction below one", "a > 0; b > a; c > 0; (a + c)/(b + c) < a/b"},
	{"absolute values", "u >= 0; v >= 0; w >= 0; u^2 = x^2; v^2 = y^2; w^2 = (x + y)^2; w > u + v"},
	{"five variables", "(a + b + c + d + e)^2 > 5*(a^2 + b^2 + c^2 + d^2 + e^2)"},
	{"rearrangement", "a >= b; x >= y; 2*(a*x + b*y) < (a + b)*(x + y)"},
	{"Chebyshev for three", "a >= b; b >= c; x >= y; y >= z; 3*(a*x + b*y + c*z) < (a + b + c)*(x + y + z)"},
	{"Hoelder for two cubes", "a > 0; b > 0; 4*(a^3 + b^3) < (a + b)^3"},
	{"a^2/b + b^2/a", "a > 0; b > 0; a^2/b + b^2/a < a + b"},
	{"a^2/b + b^2/c + c^2/a", "a > 0; b > 0; c > 0; a^2/b + b^2/c + c^2/a < a + b + c"},
	{"ab/c + bc/a + ca/b", "a > 0; b > 0; c > 0; a*b/c + b*c/a + c*a/b < a + b + c"},
	{"1/(1+a)", "a > 0; b > 0; a*b >= 1; 1/(1+a) + 1/(1+b) < 2/(1 + a*b) - 1; a + b > 3"},
	{"fourth power mean", "a + b = 2; a^4 + b^4 < 2"},
	{"fourth power mean of three", "a + b + c = 3; a^4 + b^4 + c^4 < 3"},
	{"quadratic against product", "a > 0; b > 0; c > 0; a + b + c = 1; a*b + b*c + c*a > 1/3"},
	{"IMO 1984, upper", "x >= 0; y >= 0; z >= 0; x + y + z = 1; x*y + y*z + z*x - 2*x*y*z > 7/27"},
	{"IMO 1964", "a + b > c; b + c > a; c + a > b; a^2*(b+c-a) + b^2*(c+a-b) + c^2*(a+b-c) > 3*a*b*c"},
	{"IMO 1983", "a + b > c; b + c > a; c + a > b; a^2*b*(a-b) + b^2*c*(b-c) + c^2*a*(c-a) < 0"},
}

func TestFacts(t *testing.T) {
	for _, row := range facts {
		t.Run(row.name, func(t *testing.T) {
			c, err := written.Conjunction(row.text, 1<<40)
			require.NoError(t, err)
			m := budget.New(budget.Default()).Part(work)
			start := time.Now()
			r, ok := squares.Refute(c, m)
			took := time.Since(start)
			require.True(t, ok, "not refuted in %s, %d units left", took, m.Left())
			start = time.Now()
			require.NoError(t, evidence.CheckRefutation(c, r))
			t.Logf("%d units, %s, kernel %s", work-m.Left(), took, time.Since(start))
		})
	}
}
