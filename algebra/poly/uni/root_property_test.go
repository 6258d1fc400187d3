package uni_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"squaremark/algebra/budget"
	"squaremark/algebra/number"
	"squaremark/algebra/poly/uni"
)

func isolate(t *rapid.T, f uni.Uni) []uni.Root {
	roots, err := uni.Isolate(f, meter())
	if err != nil {
		t.Fatal(err)
	}
	if err := uni.CanonicalRoots(roots); err != nil {
		t.Fatalf("%v: %v", f, err)
	}
	return roots
}

// A product of linear factors has the chosen numbers for roots, whether
// rational, in which case they are exact, or not.
func TestRootsOfProducts(t *testing.T) {
	for name, values := range map[string]*rapid.Generator[number.Num]{
		"rational": fractions(), "square roots": surds(),
	} {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				chosen := rapid.SliceOfN(values, 1, 4).Draw(t, "roots")
				f := uni.Ints(1, 0, 1) // no real roots
				for _, x := range chosen {
					f = f.Mul(uni.New(x.Neg(), number.Int(1)))
				}
				slices.SortFunc(chosen, number.Num.Cmp)
				chosen = slices.CompactFunc(chosen, number.Num.Equal)
				roots := isolate(t, f)
				if len(roots) != len(chosen) {
					t.Fatalf("%d roots of %v, not %v", len(roots), f, chosen)
				}
				for k, r := range roots {
					if r.Cmp(chosen[k]) != 0 || r.Exact() != chosen[k].IsRational() {
						t.Fatalf("root between %v and %v is not %v", r.Lo, r.Hi, chosen[k])
					}
				}
			})
		})
	}
}

// Rational quadratics with real roots multiplied together: all values found.
func TestExactValuesOfProducts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, want := uni.Ints(1), []number.Num(nil)
		for range rapid.IntRange(1, 3).Draw(t, "factors") {
			mid := fractions().Draw(t, "mid")
			root, _ := number.Int(rapid.Int64Range(0, 12).Draw(t, "d")).Sqrt()
			off := root.Mul(fractions().Draw(t, "off"))
			want = append(want, mid.Add(off), mid.Sub(off))
			f = f.Mul(uni.New(mid.Mul(mid).Sub(off.Mul(off)), mid.Add(mid).Neg(), number.Int(1)))
		}
		slices.SortFunc(want, number.Num.Cmp)
		want = slices.CompactFunc(want, number.Num.Equal)
		roots := isolate(t, f)
		if len(roots) != len(want) {
			t.Fatalf("%d roots, not %v", len(roots), want)
		}
		for k, r := range roots {
			if x, ok := r.ExactValue(); !ok || !x.Equal(want[k]) {
				t.Fatalf("%v is given as %v, %v", want[k], x, ok)
			}
		}
	})
}

// Descartes and Sturm find the same roots; so does bisection in big integers.
func TestDescartesAgainstSturm(t *testing.T) {
	elements := unis(7, fractions())
	rapid.Check(t, func(t *rapid.T) {
		f := elements.Draw(t, "f")
		if f.IsZero() {
			return
		}
		roots := isolate(t, f)
		other := uni.IsolateBySturm(f, meter())
		if len(roots) != len(other) {
			t.Fatalf("%v: %d and %d roots", f, len(roots), len(other))
		}
		for k := range roots {
			if uni.Compare(roots[k], other[k]) != 0 || roots[k].Exact() != other[k].Exact() {
				t.Fatalf("%v: root %d differs", f, k)
			}
		}
		m := meter()
		big, words := uni.IsolateInBig(uni.SquareFreePart(f, m), m)
		if !slices.Equal(big, words) {
			t.Fatalf("%v: %v in big integers, %v in words", f, big, words)
		}
	})
}

// Signs at roots and the order of roots agree with the exact values.
func TestSignsAndOrder(t *testing.T) {
	elements := unis(3, surds())
	rapid.Check(t, func(t *rapid.T) {
		x, y := surds().Draw(t, "x"), surds().Draw(t, "y")
		cubic := uni.Ints(-5, 0, 0, 1)
		f := uni.New(x.Neg(), number.Int(1)).Mul(cubic)
		g := uni.New(y.Neg(), number.Int(1)).Mul(uni.Ints(7, 0, 1)).Mul(cubic)
		a, b := isolate(t, f), isolate(t, g)
		find := func(roots []uni.Root, x number.Num) uni.Root {
			k := slices.IndexFunc(roots, func(r uni.Root) bool { return r.Cmp(x) == 0 })
			if k < 0 {
				t.Fatalf("%v is missing", x)
			}
			return roots[k]
		}
		p, q := find(a, x), find(b, y)
		if uni.Compare(p, q) != x.Cmp(y) || uni.Compare(q, p) != y.Cmp(x) {
			t.Fatalf("order of %v and %v", x, y)
		}
		h := elements.Draw(t, "h")
		if got := uni.SignAtRoot(h, p); got != h.SignAt(x) {
			t.Fatalf("sign of %v at %v is %d", h, x, got)
		}
		if uni.SignAtRoot(h.Mul(f), p) != 0 {
			t.Fatal("a multiple of f is not 0 at its root")
		}
		// the cube root of 5 is a root of both
		common := func(roots []uni.Root) uni.Root {
			k := slices.IndexFunc(roots, func(r uni.Root) bool { return uni.SignAtRoot(cubic, r) == 0 })
			return roots[k]
		}
		if uni.Compare(common(a), common(b)) != 0 {
			t.Fatal("the common root differs from itself")
		}
		if uni.Compare(common(a), p) != -p.Cmp(number.Num{}) && p.Cmp(number.Num{}) < 0 {
			t.Fatal("a positive root is not above a negative one")
		}
	})
}

// Roots of two polynomials with a common factor: equal ones are told, and the
// others stand in the order of narrow intervals.
func TestCompareWithCommonFactor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		common := unis(3, fractions()).Draw(t, "common")
		f := common.Mul(unis(2, fractions()).Draw(t, "p"))
		g := common.Mul(unis(3, fractions()).Draw(t, "q"))
		if f.IsZero() || g.IsZero() {
			return
		}
		width := number.Frac(1, 1_000_000_000_000)
		for _, a := range isolate(t, f) {
			for _, b := range isolate(t, g) {
				got := uni.Compare(a, b)
				p, q := uni.Refine(a, width), uni.Refine(b, width)
				apart := 0
				switch {
				case p.Hi.Cmp(q.Lo) < 0:
					apart = -1
				case q.Hi.Cmp(p.Lo) < 0:
					apart = 1
				}
				if apart != 0 && got != apart || got != -uni.Compare(b, a) {
					t.Fatalf("%v..%v and %v..%v compare as %d", a.Lo, a.Hi, b.Lo, b.Hi, got)
				}
				if apart == 0 && (got == 0) != (uni.SignAtRoot(g, a) == 0 && uni.SignAtRoot(f, b) == 0) {
					t.Fatalf("%v..%v and %v..%v are as near as %v", a.Lo, a.Hi, b.Lo, b.Hi, width)
				}
			}
		}
	})
}

// The samples show every sign: none is a root, and between neighbours there
// is exactly one sign change or an even factor.
func TestSamplesSeparate(t *testing.T) {
	elements := unis(6, fractions())
	rapid.Check(t, func(t *rapid.T) {
		f := elements.Draw(t, "f")
		if f.IsZero() {
			return
		}
		roots := isolate(t, f)
		points := uni.Samples(roots)
		if len(points) != len(roots)+1 {
			t.Fatal("number of samples")
		}
		for k, r := range roots {
			if r.Cmp(points[k]) != 1 || r.Cmp(points[k+1]) != -1 {
				t.Fatalf("%v and %v do not separate root %d of %v", points[k], points[k+1], k, f)
			}
		}
	})
}

func TestRefine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := unis(5, fractions()).Draw(t, "f")
		if f.IsZero() {
			return
		}
		width, _ := number.Int(10).Pow(rapid.IntRange(0, 30).Draw(t, "digits")).Inv()
		for _, r := range isolate(t, f) {
			s := uni.Refine(r, width)
			if s.Hi.Sub(s.Lo).Cmp(width) > 0 || s.Lo.Cmp(r.Lo) < 0 || s.Hi.Cmp(r.Hi) > 0 {
				t.Fatalf("refined to %v and %v", s.Lo, s.Hi)
			}
			if err := uni.CanonicalRoots([]uni.Root{s}); err != nil {
				t.Fatal(err)
			}
		}
	})
}

// Hostile polynomials end soon, with the roots or with the meter's error.
func TestLimits(t *testing.T) {
	clusters := uni.Ints(0, 1).Pow(100).Sub(uni.Ints(-1, 1<<40).Pow(2).Scale(number.Int(2)))
	long := uni.New(number.Int(3).Pow(2000), number.Int(-7).Pow(1400), number.Int(1))
	dense := wilkinson(60)
	for name, f := range map[string]uni.Uni{"clusters": clusters, "long": long, "dense": dense} {
		t.Run(name, func(t *testing.T) {
			start := time.Now()
			roots, err := uni.Isolate(f, budget.New(budget.Default()))
			require.Less(t, time.Since(start), 2*time.Second)
			if err != nil {
				var exhausted *budget.ExhaustedError
				require.ErrorAs(t, err, &exhausted)
				return
			}
			require.NoError(t, uni.CanonicalRoots(roots))
		})
	}
	l := budget.Default()
	for _, l.Work = range []int64{0, 100, 300, 1000, 3000, 10_000} {
		m := budget.New(l)
		roots, err := uni.Isolate(wilkinson(7).Mul(uni.Ints(-3, 1, 1)), m)
		require.Equal(t, m.Err(), err)
		for _, r := range roots {
			uni.Refine(r, number.Frac(1, 1000))
			uni.SignAtRoot(uni.Ints(-2, 0, 1), r)
			uni.Compare(r, roots[0])
			r.ExactValue()
		}
	}
}

func BenchmarkIsolate8(b *testing.B) {
	m := meter()
	for name, f := range map[string]uni.Uni{
		"wilkinson": wilkinson(8), "chebyshev": uni.Ints(1, 0, -32, 0, 160, 0, -256, 0, 128),
		"quadratic": uni.Ints(-1, -2, 1), "no real roots": uni.Ints(3, -1, 0, 2, 5, -2, 0, 1, 4),
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := uni.Isolate(f, m.Part(1<<30)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
