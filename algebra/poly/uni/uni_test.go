package uni_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"squaremark/algebra/budget"
	"squaremark/algebra/number"
	"squaremark/algebra/poly/uni"
)

func TestSmokeIsolate(t *testing.T) {
	for _, f := range []uni.Uni{
		uni.Ints(-2, 0, 1), uni.Ints(6, 0, -5, 0, 1), uni.Ints(-1, -1, 6), uni.Ints(0, -1, 0, 1),
		uni.Ints(-1, -2, 1).Mul(uni.Ints(-1, 3)),
		uni.New(number.Int(-1), number.Int(0), number.Int(1)).Mul(uni.New(num(t, "-sqrt(2)"), number.Int(1))),
		wilkinson(20),
	} {
		roots, err := uni.Isolate(f, budget.New(budget.Default()))
		require.NoError(t, err)
		t.Log(f)
		for _, r := range roots {
			v, ok := r.ExactValue()
			t.Log("   ", r.Lo, r.Hi, v, ok)
		}
		t.Log(uni.Samples(roots))
	}
}

func num(t testing.TB, text string) number.Num {
	t.Helper()
	n, ok := number.Parse(text)
	require.True(t, ok, text)
	return n
}

func wilkinson(n int) uni.Uni {
	f := uni.Ints(1)
	for k := 1; k <= n; k++ {
		f = f.Mul(uni.Ints(int64(-k), 1))
	}
	return f
}

func BenchmarkIsolate8(b *testing.B) {
	f := wilkinson(8)
	cheb := uni.Ints(1, 0, -32, 0, 160, 0, -256, 0, 128) // T_8
	l := budget.Default()
	l.Work = 1 << 60
	for name, f := range map[string]uni.Uni{"wilkinson": f, "chebyshev": cheb} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := uni.Isolate(f, budget.New(l)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
