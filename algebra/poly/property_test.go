package poly_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// A common divisor of products with a common factor is that factor times the
// common divisor of the others; it divides both and leaves coprime quotients.
func TestGCDOfProducts(t *testing.T) {
	for name, row := range map[string]struct {
		variables, terms int
		coefs            *rapid.Generator[number.Num]
	}{
		"one variable": {1, 4, fractions()},
		"three":        {3, 4, small()},
		"nine":         {9, 3, small()},
		"square roots": {2, 3, surds()},
	} {
		t.Run(name, func(t *testing.T) {
			r := roomy(names(row.variables)...)
			elements := polys(r, row.terms, row.coefs)
			rapid.Check(t, func(t *rapid.T) {
				f, g, h := elements.Draw(t, "f"), elements.Draw(t, "g"), elements.Draw(t, "h")
				fh, gh := r.Mul(f, h), r.Mul(g, h)
				d := r.GCD(fh, gh)
				if err := poly.Canonical(r, d); err != nil {
					t.Fatal(err)
				}
				if !r.Equal(d, r.Primitive(r.Mul(r.GCD(f, g), h))) {
					t.Fatalf("gcd(%s, %s) = %s", r.String(fh), r.String(gh), r.String(d))
				}
				if d.IsZero() {
					return
				}
				a, ok1 := r.DivExact(fh, d)
				b, ok2 := r.DivExact(gh, d)
				if !ok1 || !ok2 || r.GCD(a, b).Degree() > 0 {
					t.Fatalf("gcd(%s, %s) = %s leaves a factor", r.String(fh), r.String(gh), r.String(d))
				}
			})
			require.NoError(t, r.Meter().Err())
		})
	}
}

func TestDivExactUndoesMul(t *testing.T) {
	for _, n := range []int{3, 8} {
		r := roomy(names(n)...)
		elements := polys(r, 8, surds())
		rapid.Check(t, func(t *rapid.T) {
			f, g := elements.Draw(t, "f"), elements.Draw(t, "g")
			q, ok := r.DivExact(r.Mul(f, g), g)
			if g.IsZero() {
				if ok {
					t.Fatal("divided by 0")
				}
				return
			}
			if !ok || !r.Equal(q, f) || poly.Canonical(r, q) != nil {
				t.Fatalf("(%s)*(%s) by the second is %s", r.String(f), r.String(g), r.String(q))
			}
			if _, ok := r.DivExact(r.Add(r.Mul(f, g), r.Int(1)), g); ok && g.Degree() > 0 {
				t.Fatalf("%s divides a multiple plus 1", r.String(g))
			}
		})
	}
}

func TestReduceIdentity(t *testing.T) {
	r := roomy("x", "y", "z")
	elements := polys(r, 5, fractions())
	rapid.Check(t, func(t *rapid.T) {
		f := elements.Draw(t, "f")
		basis := rapid.SliceOfN(elements, 1, 3).Draw(t, "basis")
		q, rest := r.Reduce(f, basis)
		sum := rest
		for k, b := range basis {
			sum = r.Add(sum, r.Mul(q[k], b))
		}
		if !r.Equal(sum, f) || poly.Canonical(r, rest) != nil {
			t.Fatalf("remainder %s", r.String(rest))
		}
		r.Each(rest, func(e []uint8, _ number.Num) bool {
			for _, b := range basis {
				if lead, _ := r.Lead(b); lead != nil && below(lead, e) {
					t.Fatalf("remainder %s is not reduced by %s", r.String(rest), r.String(b))
				}
			}
			return true
		})
	})
}

func below(a, b []uint8) bool {
	for i := range a {
		if a[i] > b[i] {
			return false
		}
	}
	return true
}

func TestSquareFreeProduct(t *testing.T) {
	r := roomy("x", "y", "z")
	elements := polys(r, 3, fractions())
	rapid.Check(t, func(t *rapid.T) {
		f := r.Mul(r.Pow(elements.Draw(t, "f"), 2), elements.Draw(t, "g"))
		f = r.Mul(f, r.Pow(elements.Draw(t, "h"), 3))
		back := r.Const(r.Content(f))
		factors := r.SquareFree(f)
		for k, x := range factors {
			back = r.Mul(back, r.Pow(x.Base, x.Mult))
			if x.Base.Degree() < 1 || !r.Equal(x.Base, r.Primitive(x.Base)) {
				t.Fatalf("factor %s", r.String(x.Base))
			}
			if k > 0 && factors[k-1].Mult > x.Mult {
				t.Fatal("multiplicities fall")
			}
			for _, i := range r.Vars(x.Base) {
				if r.DegreeIn(r.GCD(x.Base, r.Derivative(x.Base, i)), i) > 0 {
					t.Fatalf("%s has a repeated factor", r.String(x.Base))
				}
			}
			for _, y := range factors[:k] {
				if r.GCD(x.Base, y.Base).Degree() > 0 {
					t.Fatalf("%s and %s have a common factor", r.String(x.Base), r.String(y.Base))
				}
			}
		}
		if !r.Equal(back, f) {
			t.Fatalf("the factors of %s give %s", r.String(f), r.String(back))
		}
	})
}

// sylvester expands the determinant of the Sylvester matrix along first
// columns: the definition of the resultant.
func sylvester(r *poly.Ring, f, g poly.Poly, i int) poly.Poly {
	a, b := r.Coeffs(f, i), r.Coeffs(g, i)
	m, n := len(a)-1, len(b)-1
	rows := make([][]poly.Poly, 0, m+n)
	row := func(c []poly.Poly, at int) {
		line := make([]poly.Poly, m+n)
		for k := range c {
			line[at+k] = c[len(c)-1-k]
		}
		rows = append(rows, line)
	}
	for k := range n {
		row(a, k)
	}
	for k := range m {
		row(b, k)
	}
	return determinant(r, rows)
}

func determinant(r *poly.Ring, rows [][]poly.Poly) poly.Poly {
	if len(rows) == 0 {
		return r.Int(1)
	}
	var sum poly.Poly
	for k, row := range rows {
		if row[0].IsZero() {
			continue
		}
		var minor [][]poly.Poly
		for j, other := range rows {
			if j != k {
				minor = append(minor, other[1:])
			}
		}
		term := r.Mul(row[0], determinant(r, minor))
		if k%2 == 1 {
			term = r.Neg(term)
		}
		sum = r.Add(sum, term)
	}
	return sum
}

func TestResultantIsSylvesters(t *testing.T) {
	r := roomy("x", "y")
	for name, coefs := range map[string]*rapid.Generator[number.Num]{
		"fractions": fractions(), "square roots": surds(),
	} {
		t.Run(name, func(t *testing.T) {
			elements := polys(r, 4, coefs)
			rapid.Check(t, func(t *rapid.T) {
				f, g := elements.Draw(t, "f"), elements.Draw(t, "g")
				if f.IsZero() || g.IsZero() {
					return
				}
				got := r.Resultant(f, g, 0)
				if want := sylvester(r, f, g, 0); !r.Equal(got, want) {
					t.Fatalf("resultant of %s and %s is %s, not %s",
						r.String(f), r.String(g), r.String(got), r.String(want))
				}
			})
		})
	}
}

// l^k·f − PseudoRem is a multiple of g, and the remainder is of lower degree.
func TestPseudoRem(t *testing.T) {
	r := roomy("x", "y")
	elements := polys(r, 4, fractions())
	rapid.Check(t, func(t *rapid.T) {
		f, g := elements.Draw(t, "f"), elements.Draw(t, "g")
		d, e := r.DegreeIn(f, 0), r.DegreeIn(g, 0)
		rest := r.PseudoRem(f, g, 0)
		if g.IsZero() || d < e {
			if !r.Equal(rest, f) {
				t.Fatal("f is not given back")
			}
			return
		}
		lead := r.Coeffs(g, 0)[e]
		multiple := r.Sub(r.Mul(r.Pow(lead, d-e+1), f), rest)
		if _, ok := r.DivExact(multiple, g); !ok || r.DegreeIn(rest, 0) >= e && e > 0 {
			t.Fatalf("pseudo-remainder of %s by %s is %s", r.String(f), r.String(g), r.String(rest))
		}
	})
}
