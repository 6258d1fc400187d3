package poly_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

func TestString(t *testing.T) {
	for _, row := range []struct{ text, want string }{
		{"0", "0"}, {"-3/2", "-3/2"}, {"b - a", "-a + b"},
		{"3/2 - 2*a*b + a^2", "a^2 - 2*a*b + 3/2"},
		{"(a + b)^2 - 4*a*b", "a^2 - 2*a*b + b^2"},
		{"c + b + a^2", "a^2 + b + c"},
		{"-sqrt(2)*a*b^3", "-sqrt(2)*a*b^3"},
		{"(1 + sqrt(2))*a - (1 - sqrt(5))", "(1 + sqrt(2))*a + (-1 + sqrt(5))"},
		{"1 - sqrt(5)", "1 - sqrt(5)"},
		{"a - 2*sqrt(3)*b + sqrt(3)", "a - 2*sqrt(3)*b + sqrt(3)"},
	} {
		r := letters("abc")
		f := read(t, r, row.text)
		require.Equal(t, row.want, r.String(f))
		require.True(t, r.Equal(f, read(t, r, row.want)), "reading back %s", row.want)
	}
}

func TestIdentities(t *testing.T) {
	for _, row := range []struct{ left, right string }{
		{"(a+b+c)*(a^2+b^2+c^2-a*b-b*c-c*a)", "a^3+b^3+c^3-3*a*b*c"},
		// Brahmagupta and Fibonacci
		{"(a^2+b^2)*(c^2+d^2)", "(a*c-b*d)^2+(a*d+b*c)^2"},
		// Lagrange's identity in three terms
		{"(a^2+b^2+c^2)*(d^2+e^2+f^2)-(a*d+b*e+c*f)^2",
			"(a*e-b*d)^2+(a*f-c*d)^2+(b*f-c*e)^2"},
		// Sophie Germain
		{"a^4+4*b^4", "(a^2+2*b^2+2*a*b)*(a^2+2*b^2-2*a*b)"},
		{"a^2-2*b^2", "(a-sqrt(2)*b)*(a+sqrt(2)*b)"},
		{"a^4+1", "(a^2+sqrt(2)*a+1)*(a^2-sqrt(2)*a+1)"},
	} {
		r := letters("abcdef")
		f, g := read(t, r, row.left), read(t, r, row.right)
		require.True(t, r.Equal(f, g), "%s", r.String(r.Sub(f, g)))
		require.True(t, r.Sub(f, g).IsZero())
	}
}

func TestParts(t *testing.T) {
	r := letters("xyz")
	f := read(t, r, "3*x^2*y - y + 5*z^3 - 7/2")
	require.Equal(t, 4, f.Len())
	require.Equal(t, 3, f.Degree())
	require.Equal(t, []int{0, 1, 2}, r.Vars(f))
	require.Equal(t, 2, r.DegreeIn(f, 0))
	require.Equal(t, "5", r.Coef(f, []int{0, 0, 3}).String())
	require.Equal(t, "-7/2", r.Coef(f, nil).String())
	require.True(t, r.Coef(f, []int{1, 1}).IsZero())
	require.True(t, r.Coef(f, []int{0, -1, 200, 200}).IsZero())
	exps, c := r.Lead(f)
	require.Equal(t, []uint8{2, 1, 0}, exps)
	require.Equal(t, "3", c.String())
	require.Equal(t, "3", f.LeadCoef().String())
	_, isConst := f.IsConst()
	require.False(t, isConst)
	yes, d := r.Homogeneous(read(t, r, "x*y - z^2"))
	require.True(t, yes)
	require.Equal(t, 2, d)
	yes, _ = r.Homogeneous(f)
	require.False(t, yes)
	cs, c0, ok := r.Linear(read(t, r, "2*x - 1/3*z + 4"))
	require.True(t, ok)
	require.Equal(t, "[2 0 -1/3] 4", printed(cs, c0))
	_, _, ok = r.Linear(f)
	require.False(t, ok)

	require.Equal(t, "y", r.Name(1))
	i, ok := r.OnlyVar(read(t, r, "y^3 - 4"))
	require.True(t, ok)
	require.Equal(t, 1, i)
	_, ok = r.OnlyVar(f)
	require.False(t, ok)
	u, ok := r.ToUni(read(t, r, "2*y^3 - 4"), 1)
	require.True(t, ok)
	require.Equal(t, "2*x^3 - 4", u.String())
	require.Equal(t, "2*z^3 - 4", r.String(r.FromUni(u, 2)))
	_, ok = r.ToUni(f, 1)
	require.False(t, ok)

	zero := poly.Poly{}
	require.True(t, zero.LeadCoef().IsZero())
	require.Equal(t, -1, zero.Degree())
	require.Empty(t, r.Coeffs(zero, 1))
	exps, c = r.Lead(zero)
	require.Nil(t, exps)
	require.True(t, c.IsZero())

	to := letters("zwyx")
	g, ok := r.Map(f, to)
	require.True(t, ok)
	require.NoError(t, poly.Canonical(to, g))
	require.True(t, to.Equal(g, read(t, to, "3*x^2*y - y + 5*z^3 - 7/2")))
	_, ok = r.Map(f, letters("xy"))
	require.False(t, ok, "z is missing")
	g, ok = r.Map(read(t, r, "x - y"), letters("yx"))
	require.True(t, ok, "z does not occur")
	require.Equal(t, 2, g.Len())
}

func TestEach(t *testing.T) {
	r := letters("xy")
	var seen []string
	r.Each(read(t, r, "x*y + 2*y - 3"), func(exps []uint8, c number.Num) bool {
		seen = append(seen, r.String(r.Monomial(c, []int{int(exps[0]), int(exps[1])})))
		return len(seen) < 2
	})
	require.Equal(t, []string{"x*y", "2*y"}, seen)
}

func printed(cs []number.Num, c0 number.Num) string {
	text := "["
	for i, c := range cs {
		if i > 0 {
			text += " "
		}
		text += c.String()
	}
	return text + "] " + c0.String()
}

func TestDivision(t *testing.T) {
	for _, row := range []struct{ f, g, q string }{
		{"x^2 - 1", "x - 1", "x + 1"},
		{"x^3 + y^3", "x + y", "x^2 - x*y + y^2"},
		{"6*x*y", "4*y", "3/2*x"},
		{"x^2 - 5", "x + sqrt(5)", "x - sqrt(5)"},
		{"0", "x", "0"},
		{"x", "2", "1/2*x"},
		{"x^2 + 1", "x - 1", ""},
		{"x", "x*y", ""},
		{"x^2*y + 1", "x*y + 1", ""},
		{"x", "0", ""},
	} {
		r := letters("xy")
		q, ok := r.DivExact(read(t, r, row.f), read(t, r, row.g))
		require.Equal(t, row.q != "", ok, "%s by %s", row.f, row.g)
		if ok {
			require.Equal(t, row.q, r.String(q))
		}
	}
}

// Two divisions of the book: Cox, Little, O'Shea, chapter 2, section 3,
// examples 2 and 4 with graded order.
func TestReduce(t *testing.T) {
	for _, row := range []struct {
		f     string
		basis []string
		q     []string
		rest  string
	}{
		{"x^2*y + x*y^2 + y^2", []string{"x*y - 1", "y^2 - 1"}, []string{"x + y", "1"}, "x + y + 1"},
		{"x^2*y + x*y^2 + y^2", []string{"y^2 - 1", "x*y - 1"}, []string{"x + 1", "x"}, "2*x + 1"},
		{"x^2 + y^2", []string{"0", "x^2 + y^2 - 1"}, []string{"0", "1"}, "1"},
		{"x + 1", nil, nil, "x + 1"},
	} {
		r := letters("xy")
		var basis []poly.Poly
		for _, b := range row.basis {
			basis = append(basis, read(t, r, b))
		}
		q, rest := r.Reduce(read(t, r, row.f), basis)
		require.Len(t, q, len(row.q))
		for k := range q {
			require.Equal(t, row.q[k], r.String(q[k]), row.f)
		}
		require.Equal(t, row.rest, r.String(rest), row.f)
	}
}

func TestGCD(t *testing.T) {
	for _, row := range []struct{ f, g, want string }{
		{"0", "0", "0"},
		{"0", "-2*x + 4", "x - 2"},
		{"6", "4", "1"},
		{"x^2 - y^2", "x^2 + 2*x*y + y^2", "x + y"},
		{"12*x^2*y", "18*x*y^3", "x*y"},
		{"2*x + 2*y", "3*x + 3*y", "x + y"},
		{"x*y + x + y + 1", "z*x + z", "x + 1"},
		{"x^2 + y^2 + 1", "x^2 + y^2 + 2", "1"},
		{"x^2 - 2", "x^2 + 2*sqrt(2)*x + 2", "x + sqrt(2)"},
		{"(x*z - y)*(x + 2*y + 3*z)^2", "(x*z - y)*(x + 2*y + 3*z)*(x - z)", "(x*z - y)*(x + 2*y + 3*z)"},
		{"(x - sqrt(3)*y)*(x + z)", "(x - sqrt(3)*y)*(y + z)", "x - sqrt(3)*y"},
		// the pair of Knuth, The Art of Computer Programming 2, section 4.6.1
		{"x^8 + x^6 - 3*x^4 - 3*x^3 + 8*x^2 + 2*x - 5", "3*x^6 + 5*x^4 - 4*x^2 - 9*x + 21", "1"},
	} {
		r := letters("xyz")
		f, g := read(t, r, row.f), read(t, r, row.g)
		want := r.String(read(t, r, row.want))
		require.Equal(t, want, r.String(r.GCD(f, g)), "%s and %s", row.f, row.g)
		require.Equal(t, want, r.String(r.GCD(g, f)))
	}
}

func TestSquareFree(t *testing.T) {
	for _, row := range []struct{ f, want string }{
		{"0", "0"},
		{"-6", "-6"},
		{"x^2 - 2*x*y + y^2", "1 (x - y)^2"},
		{"-4*x^3*(x + y)^2*(x - 1)", "-4 (x - 1)^1 (x + y)^2 (x)^3"},
		{"1/2*(y^2 + 1)^2*(x*y + 1)", "1/2 (x*y + 1)^1 (y^2 + 1)^2"},
		{"(x^2 - 1)*(x - 1)", "1 (x + 1)^1 (x - 1)^2"},
		{"x^2 + 2*sqrt(2)*x + 2", "1 (x + sqrt(2))^2"},
		{"(x + y + z)^4*(x - y*z)^2*(x^2 + y^2)", "1 (x^2 + y^2)^1 (y*z - x)^2 (x + y + z)^4"},
	} {
		r := letters("xyz")
		f := read(t, r, row.f)
		got := r.Content(f).String()
		for _, x := range r.SquareFree(f) {
			got += " (" + r.String(x.Base) + ")^" + number.Int(int64(x.Mult)).String()
		}
		require.Equal(t, row.want, got, row.f)
	}
}

func TestResultantAndDiscriminant(t *testing.T) {
	r := letters("xabcpq")
	res := func(f, g string) string {
		return r.String(r.Resultant(read(t, r, f), read(t, r, g), 0))
	}
	require.Equal(t, "a - b", res("x - a", "x - b"))
	require.Equal(t, "-a + b", res("x - b", "x - a"))
	require.Equal(t, "0", res("(x - a)*(x + 1)", "(x - a)*(x + 2)"))
	require.Equal(t, "a^3", res("a", "x^3 + b"))
	require.Equal(t, "a^3", res("x^3 + b", "a"))
	require.Equal(t, "0", res("0", "x"))
	require.Equal(t, "1", res("a", "b"))
	require.Equal(t, "403/32", res("1/2*x^2 - 1/8", "1/2*x^2 - 5/4*x + 7"))
	disc := func(f string) string { return r.String(r.Discriminant(read(t, r, f), 0)) }
	require.Equal(t, "-4*a*c + b^2", disc("a*x^2 + b*x + c"))
	require.Equal(t, "-4*p^3 - 27*q^2", disc("x^3 + p*x + q"))
	require.Equal(t, "1", disc("a*x + b"))
	require.Equal(t, "0", disc("a"))
	// quartic without two terms: 256·q³ − 27·p⁴ (elementary)
	require.Equal(t, "-27*p^4 + 256*q^3", disc("x^4 + p*x + q"))
	require.NoError(t, r.Meter().Err())
}
