package witness_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"squaremark/algebra/budget"
	"squaremark/algebra/decide/internal/written"
	"squaremark/algebra/decide/witness"
	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// work is what the rows below may cost: about 2 ms.
const work = 200_000

// possible lists conditions that can hold together, with the point found
// where a pupil would expect a certain one. Letters i to n are integers.
var possible = []struct{ text, point string }{
	{"x > 3", "x=4"},
	{"x^2 < 0 + 1", "x=0"},
	{"x^2 + y^2 < 2*x*y + 1", "x=0 y=0"},
	{"x + y < 2*x*y", "x=-1 y=-1"},
	{"a > 0; b > 0; a^2 + b^2 < 3*a*b", "a=1 b=1"},
	{"a > 0; b > 0; c > 0; a^3 + b^3 + c^3 < 4*a*b*c", "a=1 b=1 c=1"},
	{"x > 0; x < 1/7", ""},
	{"x > 22/7; x < 16/5", "x=19/6"},
	{"x^3 - 3*x + 1 < 0 - 2; x > 0 - 5", ""},
	{"x^2 = 2; x > 0", "x=sqrt(2)"},
	{"x^2 + y^2 = 1; x = y; x > 0", "x=1/2*sqrt(2) y=1/2*sqrt(2)"},
	{"x^2 + y^2 = 1; x > 1/2; y > 1/2", ""},
	{"x^2 + y^2 = 1; x + y > 7/5", ""},
	{"a*b*c = 1; a > 0; b > 0; c > 0; a + b + c < 4", "a=1 b=1 c=1"},
	{"a*b*c = 1; a > 0; b > 0; c > 0; a + b + c > 100", ""},
	{"a + b + c = 1; a > 0; b > 0; c > 0; a*b + b*c + c*a > 33/100", ""},
	{"a + b + c = 3; a^2 + b^2 + c^2 = 5; a > b; b > c", ""},
	{"a + b = 1; a^2 + b^2 = 13", ""},
	{"x*y = 0; x != 0", "x=1 y=0"},
	{"x*y = 0; y != 0", "x=0 y=1"},
	{"a > b; b > c; c > 0; a < b + c", ""},
	{"a + b > c; b + c > a; c + a > b; a > 0; b > 0; c > 0; a^2 > b^2 + c^2", ""},
	{"x^2 + y^2 + 25 = 6*x + 8*y", "x=3 y=4"},
	{"x^2 + 3*y^2 + 49/4 + 3/49 = 7*x + 6/7*y", "x=7/2 y=1/7"},
	{"x^4 + y^4 <= 2*x^2*y^2; x > 0; y > 3", ""},
	{"(x^2 + y^2 - 1)^2 + (x - y)^2 < 1/1000", ""},
	{"(x - 17)^2 + (y - 23)^2 + (z - 31)^2 < 1", ""},
	{"(x - 11/13)^2 + (y + 17/19)^2 < 1/10000", ""},
	{"x^2 + y^2 < 1/10000; x + y > 1/100", ""},
	{"x^4*y^2 + x^2*y^4 + 1 < 31/10*x^2*y^2", ""},
	// Roots as symbols: s is the root of x, r of x^2 + 3.
	{"s^2 = x; s >= 0; x < 4*s - 3", "s=2 x=4"},
	{"r^2 = x^2 + 3; r >= 0; r < 2*x + 1/10", ""},
	{"r^2 = x^2 + 3; r >= 0; x = 1", "r=2 x=1"},
	{"s^2 = a*b; s >= 0; a > 0; b > 0; 2*s < a + b; a + b > 9", ""},
	{"t^2 = x + y; t >= 0; x > 0; y > 0; t > x; t < y", ""},
	{"t^3 = x; t > 2", "t=3 x=27"},
	// Integers.
	{"n > 3; n < 5", "n=4"},
	{"n^2 + 2 < 3*n + 1; n >= 0", "n=1"},
	{"3*n + 5*m = 7", "m=-1 n=4"},
	{"2*n = x; x > 4; x < 7", "n=3 x=6"},
	{"n^2 > 17; n > 0", "n=5"},
	{"n = m^2; m > 3", "m=4 n=16"},
	{"n^2 + m^2 = 25; n > m; m > 0", "m=3 n=4"},
	{"n^2 + n = x; x > 5; x < 7", "n=2 x=6"},
	{"n > 9/2; n < 13/2; x = n/2; x^2 > 8", "n=6 x=3"},
	{"n*m = 12; n > m; m > 2", "m=3 n=4"},
	{"n^3 = x; x > 20; x < 30; n > 0", "n=3 x=27"},
	// Equations of higher degree, and with a free choice.
	{"x^3 - 6*x^2 + 11*x - 6 = 0; x > 5/2", "x=3"},
	{"x^4 - 5*x^2 + 6 = 0; x > 3/2", "x=sqrt(3)"},
	{"x^3 + y^3 = 9; x > 0; y > x", "x=1 y=2"},
	{"x*(y - 1) = 0; x > 2; y > 0", ""},
	{"x*z = y*z; x != y", ""},
	{"x^2 - y^2 = 0; x < 0; y > 0", "x=-1 y=1"},
	{"(x + y)*(x - 2*y) = 0; x + y != 0; y > 3", ""},
	// More variables.
	{"a > 0; b > 0; c > 0; d > 0; e > 0; f > 0; a*b*c*d*e*f > 2000; a + b + c + d + e + f < 40", ""},
	{"(a - b)^2 + (b - c)^2 + (c - d)^2 + (d - e)^2 + (e - a)^2 < 1; a + b + c + d + e > 100", ""},
	{"a^2 + b^2 + c^2 + d^2 < 1; a + b + c + d > 199/100", ""},
}

func describe(r *poly.Ring, p evidence.Point) string {
	var parts []string
	for i, x := range p {
		parts = append(parts, r.Names()[i]+"="+x.String())
	}
	return strings.Join(parts, " ")
}

func TestFind(t *testing.T) {
	for _, row := range possible {
		t.Run(row.text, func(t *testing.T) {
			c, err := written.Conjunction(row.text, 1<<40)
			require.NoError(t, err)
			m := budget.New(budget.Default()).Part(work)
			start := time.Now()
			p, ok := witness.Find(c, m)
			took := time.Since(start)
			require.True(t, ok, "no point found, %d units left", m.Left())
			require.NoError(t, evidence.CheckPoint(c, p))
			t.Logf("%s, %d units, %s", describe(c.Ring, p), work-m.Left(), took)
			if row.point != "" {
				require.Equal(t, row.point, describe(c.Ring, p))
			}
		})
	}
}

// impossible lists conditions that cannot hold together.
var impossible = []string{
	"x^2 < 0", "x > 3; x < 2", "n > 3; n < 4", "2*n = 7", "a > 0; b > 0; a^2 + b^2 < 2*a*b",
	"x^2 + y^2 = 0; x != 0", "s^2 = x; s >= 0; x < 0", "a*b*c = 1; a > 0; b > 0; c > 0; a + b + c < 3",
	"x^4*y^2 + x^2*y^4 + 1 < 3*x^2*y^2", "x^4*y^2 + x^2*y^4 + 1 < 29/10*x^2*y^2", "0*x > 1",
}

func TestNothingIsFoundAndTheMeterBounds(t *testing.T) {
	for _, text := range impossible {
		c, err := written.Conjunction(text, 1<<40)
		require.NoError(t, err)
		for _, units := range []int64{0, 100, 3000, work} {
			start := time.Now()
			_, ok := witness.Find(c, budget.New(budget.Default()).Part(units))
			require.False(t, ok, text)
			require.Less(t, time.Since(start), 100*time.Millisecond, text)
		}
	}
}

func TestSamePointEveryTime(t *testing.T) {
	for _, row := range possible[:10] {
		c, err := written.Conjunction(row.text, 1<<40)
		require.NoError(t, err)
		p, _ := witness.Find(c, budget.New(budget.Default()).Part(work))
		q, _ := witness.Find(c, budget.New(budget.Default()).Part(work))
		require.Equal(t, fmt.Sprint(p), fmt.Sprint(q))
	}
}

func TestNumbersOutsideTheField(t *testing.T) {
	// The only points have x = ∛2, which sums of square roots do not reach.
	c, err := written.Conjunction("x^3 = 2", 1<<40)
	require.NoError(t, err)
	_, ok := witness.Find(c, budget.New(budget.Default()).Part(work))
	require.False(t, ok)
}

func TestIrrationalCoefficients(t *testing.T) {
	r := poly.NewRing([]string{"x", "y"}, budget.New(budget.Default()))
	root2, _ := number.Int(2).Sqrt()
	// x² + y² < √2·xy fails nowhere near 0 but has no point; with 3 for √2 it has.
	for c, want := range map[number.Num]bool{root2: false, number.Int(3): true} {
		p := r.Sum(r.Square(r.Var(0)), r.Square(r.Var(1)), r.Scale(r.Mul(r.Var(0), r.Var(1)), c.Neg()))
		_, ok := witness.Find(&evidence.Conjunction{Ring: r, Conds: []poly.Condition{{P: p, Rel: poly.Lt}}}, r.Meter().Part(work))
		require.Equal(t, want, ok)
	}
}

func BenchmarkFind(b *testing.B) {
	for _, k := range []int{5, 13, 16} {
		b.Run(possible[k].text, func(b *testing.B) {
			c, err := written.Conjunction(possible[k].text, 1<<60)
			require.NoError(b, err)
			for b.Loop() {
				if _, ok := witness.Find(c, budget.New(budget.Default()).Part(work)); !ok {
					b.Fatal("no point")
				}
			}
		})
	}
}
