package number_test

import (
	"math"
	"math/big"
	"testing"
	"unsafe"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"squaremark/algebra/internal/ringtest"
	"squaremark/algebra/number"
)

// edges are integers around which machine words overflow.
var edges = []int64{
	0, 1, -1, 2, -2, 3, 7, math.MaxInt32, math.MinInt32, math.MaxInt32 + 1,
	3037000499, 3037000500, -3037000500, 1 << 62, -(1 << 62), math.MaxInt64,
	math.MaxInt64 - 1, math.MinInt64, math.MinInt64 + 1,
}

func words() *rapid.Generator[int64] {
	return rapid.OneOf(rapid.Int64Range(-30, 30), rapid.SampledFrom(edges), rapid.Int64())
}

// rationals are small, at the edge of machine words, and beyond.
func rationals() *rapid.Generator[number.Num] {
	return rapid.Custom(func(t *rapid.T) number.Num {
		n, d := words().Draw(t, "n"), words().Draw(t, "d")
		if d == 0 {
			d = 1
		}
		a := number.Frac(n, d)
		if rapid.IntRange(0, 5).Draw(t, "large") == 0 {
			a = a.Mul(number.Frac(words().Draw(t, "m"), 97))
		}
		return a
	})
}

// sums hold square roots built from the given integers.
func sums(radicands ...int64) *rapid.Generator[number.Num] {
	small := rapid.Custom(func(t *rapid.T) number.Num {
		return number.Frac(rapid.Int64Range(-9, 9).Draw(t, "n"), rapid.Int64Range(1, 6).Draw(t, "d"))
	})
	return rapid.Custom(func(t *rapid.T) number.Num {
		a := small.Draw(t, "c0")
		for range rapid.IntRange(0, 3).Draw(t, "terms") {
			d, _ := number.Int(rapid.SampledFrom(radicands).Draw(t, "d")).Sqrt()
			a = a.Add(d.Mul(small.Draw(t, "c")))
		}
		return a
	})
}

func laws(elements *rapid.Generator[number.Num]) ringtest.Ring[number.Num] {
	return ringtest.Ring[number.Num]{
		Zero: number.Num{}, One: number.Int(1),
		Add: number.Num.Add, Sub: number.Num.Sub, Mul: number.Num.Mul, Neg: number.Num.Neg,
		Pow: number.Num.Pow, Equal: number.Num.Equal, Inv: number.Num.Inv,
		Canonical: number.Canonical, String: number.Num.String, Elements: elements,
	}
}

func TestLaws(t *testing.T) {
	t.Run("rationals", func(t *testing.T) { ringtest.Laws(t, laws(rationals())) })
	t.Run("square roots", func(t *testing.T) { ringtest.Laws(t, laws(sums(2, 3, 6, 10, 15, 77))) })
	t.Run("long radicands", func(t *testing.T) {
		ringtest.Laws(t, laws(sums(999999999989, 999999999961, 999999999989*6)))
	})
	t.Run("mixed", func(t *testing.T) {
		ringtest.Laws(t, laws(rapid.OneOf(rationals(), sums(5, 7))))
	})
}

// The machine-word route agrees with math/big on all pairs of edges.
func TestWordsAgainstBig(t *testing.T) {
	var all []number.Num
	for i, n := range edges {
		all = append(all, number.Int(n))
		if d := edges[(i*7+3)%len(edges)]; d != 0 {
			all = append(all, number.Frac(n, d))
		}
	}
	rat := func(a number.Num) *big.Rat {
		r, ok := a.Rat()
		require.True(t, ok)
		return r
	}
	for _, a := range all {
		for _, b := range all {
			x, y := rat(a), rat(b)
			agree := func(op string, got number.Num, want *big.Rat) {
				require.NoError(t, number.Canonical(got))
				require.Zero(t, want.Cmp(rat(got)), "%v %s %v = %v, not %v", a, op, b, got, want)
				require.True(t, number.FromRat(want).Equal(got))
				require.Equal(t, want.RatString(), got.String())
			}
			agree("+", a.Add(b), new(big.Rat).Add(x, y))
			agree("-", a.Sub(b), new(big.Rat).Sub(x, y))
			agree("*", a.Mul(b), new(big.Rat).Mul(x, y))
			if q, ok := a.Div(b); ok {
				agree("/", q, new(big.Rat).Quo(x, y))
			} else {
				require.Zero(t, y.Sign())
			}
			require.Equal(t, x.Cmp(y), a.Cmp(b), "%v and %v", a, b)
			require.Equal(t, x.Cmp(y) == 0, a.Equal(b))
		}
	}
}

func TestNumIsSmallAndFree(t *testing.T) {
	require.True(t, number.Int(math.MinInt64).Small())
	require.False(t, number.Int(math.MinInt64).Neg().Small())
	_, ok := sqrt(t, "7").Rat()
	require.False(t, ok)
	require.True(t, number.Frac(5, 0).IsZero())
	require.Equal(t, number.Int(-8), number.Frac(-8, 1))
	require.LessOrEqual(t, unsafe.Sizeof(number.Num{}), uintptr(24))
	a, b, c := number.Int(48_611), number.Frac(-7, 12), number.Frac(5, 18)
	require.Zero(t, testing.AllocsPerRun(100, func() {
		d := a.Add(b).Mul(c).Sub(a)
		if d.Sign() == 0 || d.Cmp(b) == 0 || d.IsInteger() {
			panic("unexpected")
		}
	}))
}

// Operations leave their operands and the numbers given to them alone.
func TestNothingIsShared(t *testing.T) {
	k := new(big.Int).Lsh(big.NewInt(1), 100)
	a, r := number.FromBigInt(k), new(big.Rat).SetFrac(big.NewInt(7), k)
	b := number.FromRat(r)
	k.SetInt64(5)
	r.SetInt64(5)
	require.Equal(t, "1267650600228229401496703205376", a.String())
	out, _ := b.Rat()
	out.SetInt64(9)
	for _, d := range a.Mul(sqrt(t, "3")).Radicands() {
		d.SetInt64(4)
	}
	_, _ = a.Add(b), a.Neg().Floor().SetInt64(1)
	require.Equal(t, "7/1267650600228229401496703205376", b.String())
	require.Equal(t, "1267650600228229401496703205376", a.String())
}
