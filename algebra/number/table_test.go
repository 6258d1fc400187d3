package number_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"squaremark/algebra/number"
)

func num(t testing.TB, text string) number.Num {
	t.Helper()
	a, ok := number.Parse(text)
	require.True(t, ok, "not a number: %q", text)
	return a
}

func sqrt(t testing.TB, text string) number.Num {
	t.Helper()
	a, ok := num(t, text).Sqrt()
	require.True(t, ok, "no root of %q", text)
	return a
}

func TestArithmetic(t *testing.T) {
	ops := map[string]func(a, b number.Num) number.Num{
		"+": number.Num.Add, "-": number.Num.Sub, "*": number.Num.Mul,
		"/": func(a, b number.Num) number.Num {
			q, ok := a.Div(b)
			require.True(t, ok)
			return q
		},
	}
	for _, row := range []struct{ a, op, b, want string }{
		{"1/2", "+", "1/3", "5/6"},
		{"1/6", "+", "1/3", "1/2"},
		{"1/2", "-", "1/2", "0"},
		{"0.75", "*", "4/3", "1"},
		{"9223372036854775807", "+", "1", "9223372036854775808"},
		{"-9223372036854775808", "-", "1", "-9223372036854775809"},
		{"9223372036854775808", "-", "1", "9223372036854775807"},
		{"9223372036854775808", "*", "-1", "-9223372036854775808"},
		{"1", "/", "-9223372036854775808", "-1/9223372036854775808"},
		{"sqrt(7)", "*", "sqrt(7)", "7"},
		{"sqrt(6)", "*", "sqrt(10)", "2*sqrt(15)"},
		{"sqrt(2)", "+", "sqrt(8)", "3*sqrt(2)"},
		{"sqrt(11)", "-", "sqrt(11)", "0"},
		{"1 + sqrt(2)", "*", "1 - sqrt(2)", "-1"},
		{"1", "/", "sqrt(3)", "1/3*sqrt(3)"},
		{"1", "/", "4 + sqrt(15)", "4 - sqrt(15)"},
		{"1", "/", "sqrt(2) + sqrt(3)", "-sqrt(2) + sqrt(3)"},
		{"12", "/", "1 + sqrt(2) + sqrt(3)", "6 + 3*sqrt(2) - 3*sqrt(6)"},
		// the golden section is one more than its inverse
		{"1", "/", "1/2 + 1/2*sqrt(5)", "-1/2 + 1/2*sqrt(5)"},
		// sin and cos of π/12: their quotient is tan, DLMF table 4.17.1 (from memory)
		{"1/4*sqrt(6) - 1/4*sqrt(2)", "/", "1/4*sqrt(6) + 1/4*sqrt(2)", "2 - sqrt(3)"},
	} {
		got := ops[row.op](num(t, row.a), num(t, row.b))
		require.NoError(t, number.Canonical(got))
		require.Equal(t, row.want, got.String(), "%s %s %s", row.a, row.op, row.b)
	}
}

func TestInvRefuses(t *testing.T) {
	_, ok := number.Num{}.Inv()
	require.False(t, ok)
	a := number.Int(1)
	for _, p := range []int64{2, 3, 5, 7, 11, 13} {
		root, _ := number.Int(p).Sqrt()
		a = a.Add(root)
	}
	inv, ok := a.Inv()
	require.True(t, ok, "six independent roots are within the bound")
	require.True(t, inv.Mul(a).IsOne())
	root, _ := number.Int(17).Sqrt()
	_, ok = a.Add(root).Inv()
	require.False(t, ok, "seven are not")
}

func TestSqrt(t *testing.T) {
	for _, row := range []struct{ square, root string }{
		{"0", "0"},
		{"49/4", "7/2"},
		{"12", "2*sqrt(3)"},
		{"2/3", "1/3*sqrt(6)"},
		{"45/8", "3/4*sqrt(10)"},
		{"1000000014000000049", "1000000007"},         // the square of a prime
		{"999962000357", "sqrt(999962000357)"},        // 999979 · 999983, two primes
		{"5000000070000000245", "1000000007*sqrt(5)"}, // taken out after the small prime
		{"152415787532388367501905199875019052100", "12345678901234567890"},
		{"3 + 2*sqrt(2)", "1 + sqrt(2)"},
		{"3 - 2*sqrt(2)", "-1 + sqrt(2)"},
		{"2 + sqrt(3)", "1/2*sqrt(2) + 1/2*sqrt(6)"},
		{"5 + 2*sqrt(6)", "sqrt(2) + sqrt(3)"},
		{"3/2 + 1/2*sqrt(5)", "1/2 + 1/2*sqrt(5)"},
		{"10 + 2*sqrt(6) + 2*sqrt(10) + 2*sqrt(15)", "sqrt(2) + sqrt(3) + sqrt(5)"},
		{"-1", ""},
		{"1 - sqrt(2)", ""},
		{"1 + sqrt(2)", ""},
		{"sqrt(2)", ""},
		{"1000000016000000063", ""}, // 1000000007 · 1000000009: too long to be sure
	} {
		got, ok := num(t, row.square).Sqrt()
		require.Equal(t, row.root != "", ok, row.square)
		if ok {
			require.NoError(t, number.Canonical(got))
			require.Equal(t, row.root, got.String(), row.square)
		}
	}
}

func TestOrder(t *testing.T) {
	for _, row := range []struct{ less, more string }{
		{"-1/2", "-1/3"},
		{"-9223372036854775808", "9223372036854775807"},
		{"3037000499/3037000500", "3037000500/3037000501"},
		{"7/5", "sqrt(2)"},
		{"sqrt(2)", "99/70"},
		{"sqrt(2) + sqrt(3)", "sqrt(10)"},
		{"sqrt(11) - sqrt(10)", "sqrt(10) - 3"},
		{"sqrt(5) + sqrt(6)", "sqrt(3) + sqrt(9)"},
		// the closest sums of two and of three roots of integers up to 20, apart
		// by 0.0002 and 0.000005: the problem of sums of square roots, The Open
		// Problems Project, problem 33 (from memory)
		{"sqrt(5) + sqrt(18)", "sqrt(10) + sqrt(11)"},
		{"sqrt(5) + sqrt(6) + sqrt(18)", "sqrt(4) + 2*sqrt(12)"},
		{"152415787532388367501905199875019052099/12345678901234567890", "12345678901234567890"},
	} {
		a, b := num(t, row.less), num(t, row.more)
		require.Equal(t, -1, a.Cmp(b), "%s < %s", row.less, row.more)
		require.Equal(t, 1, b.Cmp(a))
		require.Equal(t, 0, a.Cmp(a))
	}
}

func TestFloorAndCeil(t *testing.T) {
	for _, row := range []struct{ a, floor, ceil string }{
		{"-7", "-7", "-7"},
		{"7/2", "3", "4"},
		{"-7/2", "-4", "-3"},
		{"sqrt(2)", "1", "2"},
		{"-sqrt(2)", "-2", "-1"},
		{"10000000000*sqrt(2)", "14142135623", "14142135624"},
		{"1/2 - 1/2*sqrt(5)", "-1", "0"},
		{"-92233720368547758071/10", "-9223372036854775808", "-9223372036854775807"},
	} {
		require.Equal(t, row.floor, num(t, row.a).Floor().String(), row.a)
		require.Equal(t, row.ceil, num(t, row.a).Ceil().String(), row.a)
	}
}

func TestBetween(t *testing.T) {
	for _, row := range []struct{ lo, hi, want string }{
		{"-1", "1", "0"},
		{"0", "1", "1/2"},
		{"0", "1/7", "1/8"},
		{"1", "2", "3/2"},
		{"3/7", "1/2", "4/9"},
		{"-5/2", "-1", "-2"},
		{"sqrt(2)", "sqrt(3)", "3/2"},
		{"1", "sqrt(2)", "4/3"},
		{"-sqrt(2)", "-7/5", "-24/17"},
		{"2", "1 + sqrt(2)", "7/3"},
		{"3", "3", "3"},
		// simplest fractions near √2 are the convergents, Concrete Mathematics 6.7
		{"sqrt(2) - 1/1000", "sqrt(2)", "41/29"},
	} {
		got := number.Between(num(t, row.lo), num(t, row.hi))
		require.Equal(t, row.want, got.String(), "%s .. %s", row.lo, row.hi)
	}
}

func TestGCD(t *testing.T) {
	for _, row := range []struct{ a, b, want string }{
		{"12", "-18", "6"}, {"0", "-5", "5"}, {"0", "0", "0"},
		{"3/4", "5/6", "1/12"}, {"9/10", "3/5", "3/10"}, {"sqrt(2)", "6", "1"},
		{"-9223372036854775808", "0", "9223372036854775808"},
		{"36893488147419103232", "24", "8"},
	} {
		require.Equal(t, row.want, number.GCD(num(t, row.a), num(t, row.b)).String())
		require.Equal(t, row.want, number.GCD(num(t, row.b), num(t, row.a)).String())
	}
	require.Equal(t, "60", number.LCM(number.Int(12), number.Int(20)).String())
}

func TestParts(t *testing.T) {
	for _, row := range []struct {
		a, numerator, denominator string
		bits                      int
	}{
		{"-7/4", "-7", "4", 3},
		{"0", "0", "1", 1},
		{"18446744073709551616", "18446744073709551616", "1", 65},
		{"1/2 + 1/3*sqrt(5)", "3 + 2*sqrt(5)", "6", 2 + 1 + 2 + 3},
	} {
		a := num(t, row.a)
		require.Equal(t, row.numerator, a.Numerator().String())
		require.Equal(t, row.denominator, a.Denominator().String())
		require.Equal(t, row.bits, a.Bits(), row.a)
	}
	a := num(t, "1/2 - 3*sqrt(2) + sqrt(15)")
	require.Equal(t, "-3", a.Coefficient(number.Int(2)).String())
	require.Equal(t, "1/2", a.Coefficient(number.Int(1)).String())
	require.True(t, a.Coefficient(number.Int(7)).IsZero())
	require.Len(t, a.Radicands(), 2)
}

func TestParse(t *testing.T) {
	for _, row := range []struct{ text, want string }{
		{"0.75", "3/4"}, {"-1", "-1"}, {"+2", "2"}, {" 3 / 6 ", "1/2"}, {"1.5/0.5", "3"},
		{"007", "7"}, {"-0", "0"}, {"2*sqrt(12)", "4*sqrt(3)"}, {"sqrt(2)-sqrt(2)", "0"},
		{"0.12345678901234567890", "1234567890123456789/10000000000000000000"},
		{"", ""}, {"-", ""}, {"--1", ""}, {"1.", ""}, {".5", ""}, {"1/0", ""}, {"1e3", ""},
		{"1 2", ""}, {"2*3", ""}, {"sqrt(-1)", ""}, {"sqrt(1/2)", ""}, {"sqrt 2", ""},
		{"2*", ""}, {"sqrt(2", ""}, {"1/2/3", ""}, {"x", ""}, {"٣", ""}, {"1 +", ""},
	} {
		a, ok := number.Parse(row.text)
		require.Equal(t, row.want != "", ok, "%q", row.text)
		if ok {
			require.Equal(t, row.want, a.String(), "%q", row.text)
		}
	}
}

func TestFractionAndTerms(t *testing.T) {
	n, d, ok := num(t, "-6/4").Fraction()
	require.True(t, ok)
	require.Equal(t, []int64{-3, 2}, []int64{n, d})
	_, _, ok = num(t, "9223372036854775808").Fraction()
	require.False(t, ok)
	_, _, ok = sqrt(t, "2").Fraction()
	require.False(t, ok)
	for text, want := range map[string]string{
		"0": "", "-3/2": "1:-3/2 ", "9223372036854775808": "1:9223372036854775808 ",
	} {
		require.Equal(t, want, termsOf(num(t, text)))
	}
	require.Equal(t, "1:5 6:2 ", termsOf(sqrt(t, "2").Add(sqrt(t, "3")).Pow(2)))
}

func termsOf(a number.Num) string {
	text := ""
	a.EachTerm(func(d, c number.Num) bool {
		text += d.String() + ":" + c.String() + " "
		return true
	})
	return text
}
