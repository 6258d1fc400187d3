package uni_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"squaremark/algebra/budget"
	"squaremark/algebra/internal/ringtest"
	"squaremark/algebra/number"
	"squaremark/algebra/poly/uni"
)

func meter() *budget.Meter {
	l := budget.Default()
	l.Work = 1 << 40
	return budget.New(l)
}

func num(t testing.TB, text string) number.Num {
	t.Helper()
	n, ok := number.Parse(text)
	require.True(t, ok, text)
	return n
}

func fractions() *rapid.Generator[number.Num] {
	return rapid.Custom(func(t *rapid.T) number.Num {
		return number.Frac(rapid.Int64Range(-12, 12).Draw(t, "n"), rapid.Int64Range(1, 6).Draw(t, "d"))
	})
}

func surds() *rapid.Generator[number.Num] {
	return rapid.Custom(func(t *rapid.T) number.Num {
		root, _ := number.Int(rapid.SampledFrom([]int64{1, 2, 3, 6}).Draw(t, "r")).Sqrt()
		return fractions().Draw(t, "c").Mul(root).Add(fractions().Draw(t, "k"))
	})
}

func unis(degree int, coefs *rapid.Generator[number.Num]) *rapid.Generator[uni.Uni] {
	return rapid.Custom(func(t *rapid.T) uni.Uni {
		return uni.New(rapid.SliceOfN(coefs, 0, degree+1).Draw(t, "coefficients")...)
	})
}

func TestLaws(t *testing.T) {
	for name, coefs := range map[string]*rapid.Generator[number.Num]{
		"fractions": fractions(), "square roots": surds(),
	} {
		t.Run(name, func(t *testing.T) {
			ringtest.Laws(t, ringtest.Ring[uni.Uni]{
				One: uni.Ints(1),
				Add: uni.Uni.Add, Sub: uni.Uni.Sub, Mul: uni.Uni.Mul, Neg: uni.Uni.Neg,
				Pow: uni.Uni.Pow, Equal: uni.Uni.Equal,
				Canonical: uni.Canonical, String: uni.Uni.String, Elements: unis(4, coefs),
			})
		})
	}
}

func TestDivisionAndGCD(t *testing.T) {
	for name, coefs := range map[string]*rapid.Generator[number.Num]{
		"fractions": fractions(), "square roots": surds(),
	} {
		t.Run(name, func(t *testing.T) {
			elements, m := unis(3, coefs), meter()
			rapid.Check(t, func(t *rapid.T) {
				f, g, h := elements.Draw(t, "f"), elements.Draw(t, "g"), elements.Draw(t, "h")
				q, rest, ok := f.DivRem(g)
				if ok == g.IsZero() {
					t.Fatalf("division by %v: %v", g, ok)
				}
				if ok && (!q.Mul(g).Add(rest).Equal(f) || rest.Degree() >= g.Degree()) {
					t.Fatalf("%v by %v is %v, %v", f, g, q, rest)
				}
				d := uni.GCD(f.Mul(h), g.Mul(h), m)
				want := uni.GCD(uni.GCD(f, g, m).Mul(h), nil, m)
				if !d.Equal(want) || uni.Canonical(d) != nil {
					t.Fatalf("gcd is %v, not %v", d, want)
				}
				s := uni.SquareFreePart(f.Mul(f).Mul(g), m)
				if !s.IsZero() && uni.GCD(s, s.Derivative(), m).Degree() != 0 {
					t.Fatalf("%v is not square-free", s)
				}
				x := coefs.Draw(t, "x")
				if !f.Compose(g).Eval(x).Equal(f.Eval(g.Eval(x))) {
					t.Fatal("composition")
				}
			})
			require.NoError(t, m.Err())
		})
	}
}

func TestText(t *testing.T) {
	for _, row := range []struct {
		f    uni.Uni
		want string
	}{
		{nil, "0"},
		{uni.Ints(0, 0), "0"},
		{uni.Ints(-3), "-3"},
		{uni.Ints(0, 1), "x"},
		{uni.Ints(1, -2, 1), "x^2 - 2*x + 1"},
		{uni.Ints(0, 0, -1, 5), "5*x^3 - x^2"},
		{uni.New(number.Frac(3, 2), num(t, "1 - sqrt(2)"), num(t, "-sqrt(3)")), "-sqrt(3)*x^2 + (1 - sqrt(2))*x + 3/2"},
	} {
		require.Equal(t, row.want, row.f.String())
	}
}
