package poly_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"squaremark/algebra/internal/ringtest"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

func small() *rapid.Generator[number.Num] {
	return rapid.Custom(func(t *rapid.T) number.Num {
		return number.Int(rapid.Int64Range(-9, 9).Draw(t, "n"))
	})
}

func fractions() *rapid.Generator[number.Num] {
	return rapid.Custom(func(t *rapid.T) number.Num {
		return number.Frac(rapid.Int64Range(-9, 9).Draw(t, "n"), rapid.Int64Range(1, 6).Draw(t, "d"))
	})
}

func surds() *rapid.Generator[number.Num] {
	return rapid.Custom(func(t *rapid.T) number.Num {
		root, _ := number.Int(rapid.SampledFrom([]int64{1, 2, 3, 6}).Draw(t, "r")).Sqrt()
		return fractions().Draw(t, "c").Mul(root).Add(small().Draw(t, "k"))
	})
}

func edges() *rapid.Generator[number.Num] {
	return rapid.Custom(func(t *rapid.T) number.Num {
		return number.Int(rapid.SampledFrom([]int64{
			1, -1, 1 << 30, -(1 << 31), 1<<31 - 1, 1 << 61, -(1 << 62), math.MaxInt64, math.MinInt64,
		}).Draw(t, "edge"))
	})
}

// polys have up to n terms with powers up to 3 of each variable.
func polys(r *poly.Ring, n int, coefs *rapid.Generator[number.Num]) *rapid.Generator[poly.Poly] {
	return rapid.Custom(func(t *rapid.T) poly.Poly {
		var f poly.Poly
		for range rapid.IntRange(0, n).Draw(t, "terms") {
			exps := make([]int, r.Len())
			for range rapid.IntRange(0, 3).Draw(t, "factors") {
				exps[rapid.IntRange(0, r.Len()-1).Draw(t, "variable")]++
			}
			f = r.Add(f, r.Monomial(coefs.Draw(t, "c"), exps))
		}
		return f
	})
}

func names(n int) []string {
	out := make([]string, n)
	for i := range out {
		out[i] = fmt.Sprintf("x%d", i+1)
	}
	return out
}

func TestLaws(t *testing.T) {
	for name, row := range map[string]struct {
		variables, terms int
		coefs            *rapid.Generator[number.Num]
	}{
		"one variable":             {1, 4, fractions()},
		"three variables":          {3, 9, small()},
		"seven variables, a word":  {7, 9, fractions()},
		"eight variables, more":    {8, 9, small()},
		"sixteen, three words":     {16, 6, fractions()},
		"square roots":             {2, 4, surds()},
		"machine-word edges":       {2, 6, edges()},
		"no variables, only scale": {1, 1, fractions()},
	} {
		t.Run(name, func(t *testing.T) {
			r := roomy(names(row.variables)...)
			ringtest.Laws(t, ringtest.Ring[poly.Poly]{
				Zero: poly.Poly{}, One: r.Int(1),
				Add: r.Add, Sub: r.Sub, Mul: r.Mul, Neg: r.Neg, Pow: r.Pow, Equal: r.Equal,
				Canonical: func(f poly.Poly) error { return poly.Canonical(r, f) },
				String:    r.String, Elements: polys(r, row.terms, row.coefs),
			})
			require.NoError(t, r.Meter().Err())
		})
	}
}

// slowProduct multiplies term by term into a map.
func slowProduct(r *poly.Ring, f, g poly.Poly) map[string]number.Num {
	out := map[string]number.Num{}
	r.Each(f, func(a []uint8, c number.Num) bool {
		a = append([]uint8(nil), a...)
		r.Each(g, func(b []uint8, d number.Num) bool {
			key := make([]byte, len(a))
			for i := range key {
				key[i] = a[i] + b[i]
			}
			out[string(key)] = out[string(key)].Add(c.Mul(d))
			return true
		})
		return true
	})
	return out
}

// Every way to multiply agrees with the slow one.
func TestWaysToMultiply(t *testing.T) {
	for _, n := range []int{3, 7, 8, 9, 20} {
		r := roomy(names(n)...)
		elements := rapid.OneOf(polys(r, 30, small()), polys(r, 12, edges()), polys(r, 8, surds()))
		rapid.Check(t, func(t *rapid.T) {
			f, g := elements.Draw(t, "f"), elements.Draw(t, "g")
			if f.Len() > g.Len() {
				f, g = g, f
			}
			if f.IsZero() {
				return
			}
			want := slowProduct(r, f, g)
			for name, way := range r.Ways(f, g) {
				got, ok := way()
				if !ok {
					continue
				}
				if err := poly.Canonical(r, got); err != nil {
					t.Fatalf("%s: %v", name, err)
				}
				seen := 0
				r.Each(got, func(e []uint8, c number.Num) bool {
					seen++
					if !c.Equal(want[string(e)]) {
						t.Fatalf("%s: coefficient %v, not %v", name, c, want[string(e)])
					}
					return true
				})
				for key, c := range want {
					if c.IsZero() {
						delete(want, key)
					}
				}
				if seen != len(want) {
					t.Fatalf("%s: %d terms, not %d", name, seen, len(want))
				}
			}
		})
	}
}

// Putting in a point is a homomorphism, and the same one variable at a time,
// by substitution and by substituted fractions.
func TestEvaluation(t *testing.T) {
	r := roomy("x", "y", "z")
	elements := polys(r, 6, surds())
	rapid.Check(t, func(t *rapid.T) {
		f, g, h := elements.Draw(t, "f"), elements.Draw(t, "g"), elements.Draw(t, "h")
		point := []number.Num{fractions().Draw(t, "x"), surds().Draw(t, "y"), small().Draw(t, "z")}
		at := func(f poly.Poly) number.Num { return r.EvalAll(f, point) }
		same := func(law string, a, b number.Num) {
			if !a.Equal(b) {
				t.Fatalf("%s: %v is not %v", law, a, b)
			}
		}
		same("sum", at(r.Add(f, g)), at(f).Add(at(g)))
		same("product", at(r.Mul(f, g)), at(f).Mul(at(g)))
		e := f
		for i, x := range point {
			e = r.Eval(e, i, x)
			if err := poly.Canonical(r, e); err != nil {
				t.Fatal(err)
			}
		}
		c, ok := e.IsConst()
		same("one at a time", c, at(f))
		if !ok {
			t.Fatal("a variable is left")
		}
		i := rapid.IntRange(0, 2).Draw(t, "i")
		moved := append([]number.Num(nil), point...)
		moved[i] = at(g)
		same("substitution", at(r.Subst(f, i, g)), r.EvalAll(f, moved))
		if q, ok := at(g).Div(at(h)); ok {
			moved[i] = q
			s, k := r.SubstFrac(f, i, g, h)
			same("substituted fraction", at(s), r.EvalAll(f, moved).Mul(at(h).Pow(k)))
		}
		if back := r.FromCoeffs(i, r.Coeffs(f, i)); !r.Equal(back, f) {
			t.Fatalf("coefficients give %s", r.String(back))
		}
		leibniz := r.Add(r.Mul(r.Derivative(f, i), g), r.Mul(f, r.Derivative(g, i)))
		if !r.Equal(r.Derivative(r.Mul(f, g), i), leibniz) {
			t.Fatal("product rule")
		}
	})
}
