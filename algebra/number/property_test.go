package number_test

import (
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"squaremark/algebra/number"
)

var mixed = rapid.OneOf(rationals(), sums(2, 3, 5, 30, 999983))

func TestTextRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := mixed.Draw(t, "a")
		if b, ok := number.Parse(a.String()); !ok || !b.Equal(a) {
			t.Fatalf("%v is read as %v", a, b)
		}
	})
}

// The root of a square is the absolute value, whatever square roots it mixes.
func TestSqrtOfSquare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := sums(2, 3, 5, 6).Draw(t, "a")
		root, ok := a.Mul(a).Sqrt()
		if !ok || !root.Equal(a.Abs()) || number.Canonical(root) != nil {
			t.Fatalf("root of (%v)^2 is %v, %v", a, root, ok)
		}
	})
}

// Signs agree with enclosures so narrow that only 0 is inside for long.
func TestSignAgainstEnclosure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := mixed.Draw(t, "a"), mixed.Draw(t, "b")
		d := a.Mul(b).Sub(b)
		lo, hi := d.Enclose(400)
		width := hi.Sub(lo)
		if lo.Cmp(d) > 0 || d.Cmp(hi) > 0 || width.Mul(number.Int(2).Pow(400)).Cmp(number.Int(1)) > 0 {
			t.Fatalf("%v enclosed by %v and %v", d, lo, hi)
		}
		want := 0
		if lo.Sign() == hi.Sign() {
			want = lo.Sign()
		}
		if d.Sign() != want || a.Cmp(b) != -b.Cmp(a) {
			t.Fatalf("sign of %v is %d", d, d.Sign())
		}
	})
}

func TestFloorIsBelow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := mixed.Draw(t, "a")
		f, c := number.FromBigInt(a.Floor()), number.FromBigInt(a.Ceil())
		if f.Cmp(a) > 0 || a.Cmp(f.Add(number.Int(1))) >= 0 {
			t.Fatalf("floor of %v is %v", a, f)
		}
		if c.Cmp(a) < 0 || a.Cmp(c.Sub(number.Int(1))) <= 0 {
			t.Fatalf("ceiling of %v is %v", a, c)
		}
	})
}

// No fraction with a smaller denominator lies between.
func TestBetweenIsSimplest(t *testing.T) {
	near := rapid.OneOf(sums(2, 3), rapid.Custom(func(t *rapid.T) number.Num {
		return number.Frac(rapid.Int64Range(-60, 60).Draw(t, "n"), rapid.Int64Range(1, 60).Draw(t, "d"))
	}))
	rapid.Check(t, func(t *rapid.T) {
		lo, hi := near.Draw(t, "lo"), near.Draw(t, "hi")
		if lo.Cmp(hi) >= 0 {
			return
		}
		s := number.Between(lo, hi)
		if s.Cmp(lo) <= 0 || s.Cmp(hi) >= 0 {
			t.Fatalf("%v is not between %v and %v", s, lo, hi)
		}
		least, _ := s.Denominator().Int64()
		for q := int64(1); q < min(least, 200); q++ {
			p := lo.Mul(number.Int(q)).Floor()
			next := number.FromBigInt(p.Add(p, big.NewInt(1)))
			if x, _ := next.Div(number.Int(q)); x.Cmp(hi) < 0 {
				t.Fatalf("%v is simpler than %v between %v and %v", x, s, lo, hi)
			}
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, text := range []string{
		"0", "-1", "3/2", "0.75", "2*sqrt(3)", "1 + 1/2*sqrt(5)", "-sqrt(2)", "sqrt(8)/2", "1/0",
		"9223372036854775808", "sqrt(999962000357)",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 300 {
			return
		}
		a, ok := number.Parse(text)
		if !ok {
			return
		}
		if err := number.Canonical(a); err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		if b, ok := number.Parse(a.String()); !ok || !b.Equal(a) {
			t.Fatalf("%q: %v is read as %v", text, a, b)
		}
	})
}

func BenchmarkNum(b *testing.B) {
	x, y := number.Int(48_611), number.Int(-977)
	p, q := number.Frac(5, 12), number.Frac(-7, 18)
	root, _ := number.Int(7).Sqrt()
	s, u := root.Add(x), root.Mul(q).Sub(p)
	long := number.Int(10).Pow(60).Add(number.Int(7))
	nested := num(b, "3 + 2*sqrt(2)")
	for _, row := range []struct {
		name string
		do   func()
	}{
		{"add integers", func() { x.Add(y) }},
		{"multiply integers", func() { x.Mul(y) }},
		{"add fractions", func() { p.Add(q) }},
		{"multiply fractions", func() { p.Mul(q) }},
		{"compare fractions", func() { p.Cmp(q) }},
		{"multiply a + b√7", func() { s.Mul(u) }},
		{"sign of a + b√7", func() { u.Sign() }},
		{"root of 60 digits", func() { long.Sqrt() }},
		{"root of 3 + 2√2", func() { nested.Sqrt() }},
	} {
		b.Run(row.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				row.do()
			}
		})
	}
}
