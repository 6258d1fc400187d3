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

var more = []struct{ name, text string }{
	{"Iran 1996", "x >= 0; y >= 0; z >= 0; x*y + y*z + z*x > 0; 4*(x*y + y*z + z*x)*((x+y)^2*(y+z)^2 + (y+z)^2*(z+x)^2 + (z+x)^2*(x+y)^2) < 9*(x+y)^2*(y+z)^2*(z+x)^2"},
	{"IMO 1995 in x = 1/a", "x > 0; y > 0; z > 0; x*y*z = 1; x^2/(y+z) + y^2/(z+x) + z^2/(x+y) < 3/2"},
	{"IMO 2000", "a > 0; b > 0; c > 0; a*b*c = 1; (a - 1 + 1/b)*(b - 1 + 1/c)*(c - 1 + 1/a) > 1"},
	{"IMO 2005-like", "a > 0; b > 0; c > 0; a*b*c >= 1; a^2 + b^2 + c^2 < a + b + c"},
	{"USAMO 1997", "a > 0; b > 0; c > 0; 1/(a^3+b^3+a*b*c) + 1/(b^3+c^3+a*b*c) + 1/(c^3+a^3+a*b*c) > 1/(a*b*c)"},
	{"means of five", "a > 0; b > 0; c > 0; d > 0; e > 0; a^5 + b^5 + c^5 + d^5 + e^5 < 5*a*b*c*d*e"},
	{"means of four, (sum)^4", "a > 0; b > 0; c > 0; d > 0; (a+b+c+d)^4 < 256*a*b*c*d"},
	{"Nesbitt for four", "a > 0; b > 0; c > 0; d > 0; a/(b+c) + b/(c+d) + c/(d+a) + d/(a+b) < 2"},
	{"Schur, degree three", "x > 0; y > 0; z > 0; x^3*(x-y)*(x-z) + y^3*(y-z)*(y-x) + z^3*(z-x)*(z-y) < 0"},
	{"Muirhead (4,1,1) over (2,2,2)", "a > 0; b > 0; c > 0; a^4*b*c + b^4*a*c + c^4*a*b < 3*a^2*b^2*c^2"},
	{"Muirhead (3,1,0) over (2,1,1)", "a >= 0; b >= 0; c >= 0; a^3*b + a^3*c + b^3*a + b^3*c + c^3*a + c^3*b < 2*a*b*c*(a+b+c)"},
	{"Titu for three", "x > 0; y > 0; z > 0; a^2/x + b^2/y + c^2/z < (a+b+c)^2/(x+y+z)"},
	{"weighted", "a > 0; b > 0; 2*a^3 + b^3 < 3*a^2*b"},
	{"2a+b", "a > 0; b > 0; c > 0; a + b + c = 1; (1/a - 1)*(1/b - 1)*(1/c - 1) < 8"},
	{"sum of square roots", "s >= 0; t >= 0; s^2 = a; t^2 = b; r >= 0; r^2 = a + b; s + t < r"},
	{"root of mean", "r >= 0; r^2 = (a^2 + b^2)/2; r < (a + b)/2"},
	{"Minkowski", "r >= 0; s >= 0; t >= 0; r^2 = a^2 + b^2; s^2 = x^2 + y^2; t^2 = (a+x)^2 + (b+y)^2; t > r + s"},
	{"x + 1/x", "x > 0; x + 1/x < 2"},
	{"x^2 + 1/x", "x > 0; x^2 + 2/x < 3"},
	{"rational max", "x/(1 + x^2) > 1/2"},
	{"two rational", "a*b < 1; a > 0; b > 0; 1/(1+a^2) + 1/(1+b^2) > 2/(1+a*b)"},
	{"two rational, other side", "a*b >= 1; a > 0; b > 0; 1/(1+a^2) + 1/(1+b^2) < 2/(1+a*b)"},
	{"sum of fractions with 1", "x > 0; y > 0; z > 0; x*y*z = 1; 1/(x^2 + x + 1) + 1/(y^2 + y + 1) + 1/(z^2 + z + 1) < 1"},
	{"cyclic quartic", "a^4 + b^4 + c^4 + d^4 < a^3*b + b^3*c + c^3*d + d^3*a"},
	{"a^3/b^2", "a > 0; b > 0; a^3/b^2 + b^3/a^2 < a + b"},
	{"with a zero", "x >= 0; y >= 0; x + y = 2; x^2*y^2*(x^2 + y^2) > 2"},
	{"cubic sum bound", "a >= 0; b >= 0; c >= 0; a + b + c = 3; a^2*b + b^2*c + c^2*a > 4"},
	{"abc bound", "a > 0; b > 0; c > 0; a + b + c = 3; a^2 + b^2 + c^2 + a*b*c < 4"},
	{"pqr", "a >= 0; b >= 0; c >= 0; a^2 + b^2 + c^2 + 2*a*b*c + 1 < 2*(a*b + b*c + c*a)"},
	{"ab+bc+ca=3", "a > 0; b > 0; c > 0; a*b + b*c + c*a = 3; a + b + c < 3"},
	{"ab+bc+ca=3, (a+b)(b+c)(c+a)", "a > 0; b > 0; c > 0; a*b + b*c + c*a = 3; (a+b)*(b+c)*(c+a) < 8"},
	{"sphere", "x^2 + y^2 + z^2 = 3; x + y + z > 3"},
	{"sphere, cubes", "x >= 0; y >= 0; z >= 0; x^2 + y^2 + z^2 = 3; x^3 + y^3 + z^3 < 3"},
	{"Bernoulli, power 5", "x > 0 - 1; (1 + x)^5 < 1 + 5*x"},
	{"integers, product", "n >= 1; m >= 1; n*m + 1 < n + m"},
	{"quartic of two", "x^4 + y^4 + 2 < 4*x*y"},
	{"sextic", "x^6 + y^6 < x^5*y + x*y^5"},
	{"six variables", "a^2 + b^2 + c^2 + d^2 + e^2 + f^2 < a*b + b*c + c*d + d*e + e*f + f*a"},
	{"AM-HM four", "a > 0; b > 0; c > 0; d > 0; (a+b+c+d)*(1/a + 1/b + 1/c + 1/d) < 16"},
	{"Carlson-like", "a > 0; b > 0; c > 0; 8*(a+b+c)*(a*b+b*c+c*a) > 9*(a+b)*(b+c)*(c+a)"},
	{"Delzell-like positive", "x^4 + y^4 + z^4 + 1 < 4*x*y*z"},
	{"k-th chain step", "x > 0; y > 0; x^3 + y^3 = 2; x + y > 2"},
	{"substituted squares", "x^2 + y^2 + z^2 = x*y + y*z + z*x; x != y"},
	{"equality case", "a > 0; b > 0; a^3 + b^3 = a^2*b + a*b^2; a != b"},
	{"equality of three", "a > 0; b > 0; c > 0; a^3 + b^3 + c^3 = 3*a*b*c; a > b"},
}

func TestMore(t *testing.T) {
	for _, row := range more {
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
