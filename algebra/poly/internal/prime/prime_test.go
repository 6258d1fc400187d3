package prime_test

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"squaremark/algebra/number"
	"squaremark/algebra/poly/internal/prime"
)

func residues() *rapid.Generator[uint64] {
	return rapid.OneOf(rapid.Uint64Range(0, prime.P-1),
		rapid.SampledFrom([]uint64{0, 1, 2, prime.P - 1, prime.P - 2, 1 << 60}))
}

func TestAgainstBig(t *testing.T) {
	p := big.NewInt(prime.P)
	require.True(t, p.ProbablyPrime(20))
	rapid.Check(t, func(t *rapid.T) {
		a, b := residues().Draw(t, "a"), residues().Draw(t, "b")
		x, y := new(big.Int).SetUint64(a), new(big.Int).SetUint64(b)
		agree := func(op string, got uint64, want *big.Int) {
			if want.Mod(want, p).Uint64() != got {
				t.Fatalf("%d %s %d is %d, not %v", a, op, b, got, want)
			}
		}
		agree("+", prime.Add(a, b), new(big.Int).Add(x, y))
		agree("-", prime.Sub(a, b), new(big.Int).Sub(x, y))
		agree("*", prime.Mul(a, b), new(big.Int).Mul(x, y))
		k := number.Int(rapid.Int64().Draw(t, "k")).Mul(number.Int(int64(a)))
		got, ok := prime.Of(k)
		if q, _ := k.Rat(); !ok || got != new(big.Int).Mod(q.Num(), p).Uint64() {
			t.Fatalf("remainder of %v is %d", k, got)
		}
	})
	_, ok := prime.Of(number.Frac(1, 2))
	require.False(t, ok)
}

func TestGCDDegree(t *testing.T) {
	m1 := uint64(prime.P - 1)
	for _, row := range []struct {
		name string
		a, b []uint64
		want int
	}{
		{"x² − 1 and x − 1", []uint64{m1, 0, 1}, []uint64{m1, 1}, 1},
		{"x² + 1 and x − 1", []uint64{1, 0, 1}, []uint64{m1, 1}, 0},
		{"x³ − x and x² − 1", []uint64{0, m1, 0, 1}, []uint64{m1, 0, 1}, 2},
		{"x and 7", []uint64{0, 1}, []uint64{7}, 0},
		{"0 and x² + 3", nil, []uint64{3, 0, 1}, 2},
	} {
		require.Equal(t, row.want, prime.GCDDegree(row.a, row.b), row.name)
	}
}
