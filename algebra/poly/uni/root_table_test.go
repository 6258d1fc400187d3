package uni_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"squaremark/algebra/number"
	"squaremark/algebra/poly/uni"
)

// wilkinson is (x−1)(x−2)…(x−n).
func wilkinson(n int) uni.Uni {
	f := uni.Ints(1)
	for k := 1; k <= n; k++ {
		f = f.Mul(uni.Ints(int64(-k), 1))
	}
	return f
}

// The roots of polynomials as printed in tables, to all printed digits.
func TestPublishedRoots(t *testing.T) {
	perturbed := wilkinson(20).Sub(uni.Ints(0, 1).Pow(19).Scale(number.Frac(1, 1<<23)))
	for _, row := range []struct {
		name  string
		f     uni.Uni
		roots []string
	}{
		// nodes of Gauss–Legendre quadrature, DLMF tables 3.5.1 and 3.5.2
		{"P5", uni.Ints(0, 15, 0, -70, 0, 63), []string{
			"-0.906179845938664", "-0.538469310105683", "0", "0.538469310105683", "0.906179845938664"}},
		{"P10", uni.Ints(-63, 0, 3465, 0, -30030, 0, 90090, 0, -109395, 0, 46189), []string{
			"-0.973906528517172", "-0.865063366688985", "-0.679409568299024", "-0.433395394129247",
			"-0.148874338981631", "0.148874338981631", "0.433395394129247", "0.679409568299024",
			"0.865063366688985", "0.973906528517172"}},
		// nodes of Gauss–Laguerre quadrature, Abramowitz and Stegun table 25.9 (from memory)
		{"L5", uni.Ints(120, -600, 600, -200, 25, -1), []string{
			"0.263560319718", "1.413403059107", "3.596425771041", "7.085810005859", "12.640800844276"}},
		// cos((2k−1)π/16), DLMF 18.5.1 and 3.5.22
		{"T8", uni.Ints(1, 0, -32, 0, 160, 0, -256, 0, 128), []string{
			"-0.980785280403", "-0.831469612303", "-0.555570233020", "-0.195090322016",
			"0.195090322016", "0.555570233020", "0.831469612303", "0.980785280403"}},
		// J. H. Wilkinson, Rounding Errors in Algebraic Processes, 1963: the
		// coefficient −210 made less by 2^−23 (from memory)
		{"perturbed", perturbed, []string{
			"1.000000000", "2.000000000", "3.000000000", "4.000000000", "4.999999928", "6.000006944",
			"6.999697234", "8.007267603", "8.917250249", "20.846908101"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			m := meter()
			roots, err := uni.Isolate(row.f, m)
			require.NoError(t, err)
			require.NoError(t, uni.CanonicalRoots(roots))
			require.Len(t, roots, len(row.roots))
			for k, r := range roots {
				want := num(t, row.roots[k])
				r = uni.Refine(r, number.Frac(1, 100_000_000_000_000_000))
				_, fraction, _ := strings.Cut(row.roots[k], ".")
				last, _ := number.Int(10).Pow(len(fraction)).Inv()
				off := r.Lo.Sub(want).Abs()
				require.LessOrEqual(t, off.Cmp(last), 0, "%v for %s", r.Lo, row.roots[k])
			}
			require.NoError(t, m.Err())
		})
	}
}

func TestWilkinson(t *testing.T) {
	roots, err := uni.Isolate(wilkinson(20), meter())
	require.NoError(t, err)
	require.Len(t, roots, 20)
	for k, r := range roots {
		require.True(t, r.Exact())
		require.Equal(t, number.Int(int64(k+1)), r.Lo)
	}
}

// x^n − 2(ax−1)^2 has two roots closer than 2·a^−(n/2+1) around 1/a: M.
// Mignotte, Some useful bounds, in Computer Algebra, 1982 (from memory).
func TestMignotte(t *testing.T) {
	for _, n := range []int{6, 12, 30} {
		a := int64(11)
		f := uni.Ints(0, 1).Pow(n).Sub(uni.Ints(-1, a).Pow(2).Scale(number.Int(2)))
		roots, err := uni.Isolate(f, meter())
		require.NoError(t, err)
		require.NoError(t, uni.CanonicalRoots(roots))
		require.Len(t, roots, 4)
		near, gap := number.Frac(1, a), number.Int(a).Pow(n/2+1)
		require.Equal(t, -1, roots[1].Cmp(near))
		require.Equal(t, 1, roots[2].Cmp(near))
		width, _ := number.Int(2).Div(gap)
		lo, hi := uni.Refine(roots[1], width), uni.Refine(roots[2], width)
		require.Negative(t, hi.Lo.Sub(lo.Hi).Cmp(width))
	}
}

func TestExactValues(t *testing.T) {
	for _, row := range []struct {
		name  string
		f     uni.Uni
		roots []string // "?" for a root that has no such form
	}{
		{"x^2 - 2x - 1", uni.Ints(-1, -2, 1), []string{"1 - sqrt(2)", "1 + sqrt(2)"}},
		{"x^2 + 1", uni.Ints(1, 0, 1), nil},
		{"5", uni.Ints(5), nil},
		{"3x - 2", uni.Ints(-2, 3), []string{"2/3"}},
		{"(2x - 7)^3", uni.Ints(-7, 2).Pow(3), []string{"7/2"}},
		{"x^4 - 5x^2 + 6", uni.Ints(6, 0, -5, 0, 1), []string{"-sqrt(3)", "-sqrt(2)", "sqrt(2)", "sqrt(3)"}},
		// sin 18° and −sin 54°
		{"4x^2 + 2x - 1", uni.Ints(-1, 2, 4), []string{"-1/4 - 1/4*sqrt(5)", "-1/4 + 1/4*sqrt(5)"}},
		{"x^3 - 2", uni.Ints(-2, 0, 0, 1), []string{"?"}},
		{"(x^3 - 2)(x^2 - x - 1)x", uni.Ints(-2, 0, 0, 1).Mul(uni.Ints(0, -1, -1, 1)),
			[]string{"1/2 - 1/2*sqrt(5)", "0", "?", "1/2 + 1/2*sqrt(5)"}},
		{"x^4 - 10x^2 + 1", uni.Ints(1, 0, -10, 0, 1), []string{"?", "?", "?", "?"}},
		{"x - sqrt(7)", uni.New(num(t, "-sqrt(7)"), number.Int(1)), []string{"sqrt(7)"}},
		{"x^2 - 2*sqrt(3)x - 2*sqrt(2)", uni.New(num(t, "-2*sqrt(2)"), num(t, "-2*sqrt(3)"), number.Int(1)),
			[]string{"-1 - sqrt(2) + sqrt(3)", "1 + sqrt(2) + sqrt(3)"}},
		{"x^2 - x - sqrt(2)", uni.New(num(t, "-sqrt(2)"), number.Int(-1), number.Int(1)), []string{"?", "?"}},
		{"x^2 - (sqrt(2)+sqrt(3))x + sqrt(6)",
			uni.New(num(t, "sqrt(6)"), num(t, "-sqrt(2) - sqrt(3)"), number.Int(1)),
			[]string{"sqrt(2)", "sqrt(3)"}},
		{"(x - 3/5)(x - sqrt(2))", uni.New(num(t, "-3/5"), number.Int(1)).
			Mul(uni.New(num(t, "-sqrt(2)"), number.Int(1))), []string{"3/5", "sqrt(2)"}},
		{"sqrt(2)x^2 - 2*sqrt(2)", uni.New(num(t, "-2*sqrt(2)"), number.Int(0), num(t, "sqrt(2)")),
			[]string{"-sqrt(2)", "sqrt(2)"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			roots, err := uni.Isolate(row.f, meter())
			require.NoError(t, err)
			require.NoError(t, uni.CanonicalRoots(roots))
			var got []string
			for _, r := range roots {
				v, ok := r.ExactValue()
				if !ok {
					got = append(got, "?")
					continue
				}
				got = append(got, v.String())
				require.Zero(t, r.Cmp(v))
			}
			require.Equal(t, row.roots, got)
		})
	}
	_, err := uni.Isolate(nil, meter())
	require.ErrorIs(t, err, uni.ErrZero)
}

// The minimal polynomial of √2 + √3 has the four sums ±√2 ± √3 for roots.
func TestCmpWithSquareRoots(t *testing.T) {
	roots, err := uni.Isolate(uni.Ints(1, 0, -10, 0, 1), meter())
	require.NoError(t, err)
	for k, text := range []string{
		"-sqrt(2) - sqrt(3)", "sqrt(2) - sqrt(3)", "sqrt(3) - sqrt(2)", "sqrt(2) + sqrt(3)",
	} {
		x := num(t, text)
		tiny, _ := number.Int(10).Pow(40).Inv()
		require.Zero(t, roots[k].Cmp(x), text)
		require.Equal(t, 1, roots[k].Cmp(x.Sub(tiny)))
		require.Equal(t, -1, roots[k].Cmp(x.Add(tiny)))
		require.Zero(t, uni.SignAtRoot(uni.New(x.Neg(), number.Int(1)), roots[k]))
		require.Equal(t, 1, uni.SignAtRoot(uni.New(tiny.Sub(x), number.Int(1)), roots[k]))
	}
}

func TestSamples(t *testing.T) {
	for _, row := range []struct {
		f    uni.Uni
		want string
	}{
		{uni.Ints(1, 0, 1), "0"},
		{uni.Ints(-2, 0, 1), "-3 0 3"},
		{uni.Ints(0, -1, 0, 1), "-2 -1/2 1/2 2"},
		{wilkinson(3), "0 3/2 5/2 4"},
	} {
		roots, err := uni.Isolate(row.f, meter())
		require.NoError(t, err)
		got := ""
		for k, x := range uni.Samples(roots) {
			if k > 0 {
				got += " "
			}
			got += x.String()
		}
		require.Equal(t, row.want, got)
	}
}
