package number_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"squaremark/algebra/number"
)

func num(t testing.TB, text string) number.Num {
	t.Helper()
	n, ok := number.Parse(text)
	require.True(t, ok, "not a number: %q", text)
	return n
}

// Rows to be checked by eye.
func TestArithmetic(t *testing.T) {
	type op func(a, b number.Num) number.Num
	ops := map[string]op{
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
		{"-9223372036854775808", "*", "-1", "9223372036854775808"},
		{"9223372036854775808", "*", "-1", "-9223372036854775808"},
		{"1", "/", "-9223372036854775808", "-1/9223372036854775808"},
		{"sqrt(2)", "*", "sqrt(2)", "2"},
		{"sqrt(6)", "*", "sqrt(10)", "2*sqrt(15)"},
		{"sqrt(2)", "+", "sqrt(8)", "3*sqrt(2)"},
		{"sqrt(2)", "-", "sqrt(2)", "0"},
		{"1 + sqrt(2)", "*", "1 - sqrt(2)", "-1"},
		{"1", "/", "sqrt(2)", "1/2*sqrt(2)"},
		{"1", "/", "1 + sqrt(2)", "-1 + sqrt(2)"},
		{"1", "/", "sqrt(2) + sqrt(3)", "-sqrt(2) + sqrt(3)"},
		{"12", "/", "1 + sqrt(2) + sqrt(3)", "6 + 3*sqrt(2) - 3*sqrt(6)"},
		{"1/2 + 1/2*sqrt(5)", "*", "1/2 + 1/2*sqrt(5)", "3/2 + 1/2*sqrt(5)"},
	} {
		got := ops[row.op](num(t, row.a), num(t, row.b))
		require.Equal(t, row.want, got.String(), "%s %s %s", row.a, row.op, row.b)
	}
}

func TestSqrt(t *testing.T) {
	for _, row := range []struct{ square, root string }{
		{"0", "0"},
		{"49/4", "7/2"},
		{"12", "2*sqrt(3)"},
		{"2/3", "1/3*sqrt(6)"},
		{"1000000014000000049", "1000000007"},
		{"3 + 2*sqrt(2)", "1 + sqrt(2)"},
		{"3 - 2*sqrt(2)", "-1 + sqrt(2)"},
		{"5 + 2*sqrt(6)", "sqrt(2) + sqrt(3)"},
		{"10 + 2*sqrt(6) + 2*sqrt(10) + 2*sqrt(15)", "sqrt(2) + sqrt(3) + sqrt(5)"},
		{"-1", ""},
		{"1 + sqrt(2)", ""},
		{"sqrt(2)", ""},
	} {
		got, ok := num(t, row.square).Sqrt()
		if row.root == "" {
			require.False(t, ok, row.square)
			continue
		}
		require.True(t, ok, row.square)
		require.Equal(t, row.root, got.String())
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
	} {
		got := number.Between(num(t, row.lo), num(t, row.hi))
		require.Equal(t, row.want, got.String(), "%s .. %s", row.lo, row.hi)
	}
}
