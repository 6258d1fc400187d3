package syntax

import (
	"testing"

	"squaremark/algebra/budget"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReadLine(t *testing.T) {
	for _, row := range []struct {
		text string
		link Link
		want string
	}{
		{"a >= b", NoLink, "a >= b"},
		{"<=> a - b >= 0", TwoWay, "a - b >= 0"},
		{"⇔ a - b ≥ 0", TwoWay, "a - b >= 0"},
		{`\iff a - b \ge 0`, TwoWay, "a - b >= 0"},
		{"iff a - b >= 0", TwoWay, "a - b >= 0"},
		{"if and only if a - b >= 0", TwoWay, "a - b >= 0"},
		{"↔ a = b", TwoWay, "a = b"},
		{"=> a = b", Forward, "a = b"},
		{"==> a = b", Forward, "a = b"},
		{"⇒ a = b", Forward, "a = b"},
		{`\implies a = b`, Forward, "a = b"},
		{`\Rightarrow a = b`, Forward, "a = b"},
		{"∴ a = b", Forward, "a = b"},
		{"Hence a = b", Forward, "a = b"},
		{"so a = b.", Forward, "a = b"},
		{"Therefore, a = b", Forward, "a = b"},
		{"thus we have a = b", Forward, "a = b"},
		{"=> so a = b", Forward, "a = b"},
		{"<= a = b", Backward, "a = b"},
		{"⇐ a = b", Backward, "a = b"},
		{`\Leftarrow a = b`, Backward, "a = b"},
		{`\impliedby a = b`, Backward, "a = b"},
		{"because a = b", Backward, "a = b"},
		{`$\Leftrightarrow (a-b)^2 \ge 0$`, TwoWay, "(a - b)^2 >= 0"},
	} {
		link, r, d := ReadLine(row.text, budget.New(budget.Default()))
		if assert.Nil(t, d, "%s: %v", row.text, d) {
			assert.Equal(t, row.link, link, row.text)
			assert.Equal(t, row.want, Plain(r.Root), row.text)
		}
	}
	link, _, d := ReadLine("=> a +", budget.New(budget.Default()))
	assert.Equal(t, Forward, link)
	require.NotNil(t, d)
	assert.Equal(t, "1:7", d.At.Start.String())
	_, _, d = ReadLine("= b", budget.New(budget.Default()))
	assert.NotNil(t, d)
}

func TestReadLines(t *testing.T) {
	type line struct{ link, at, plain string }
	for _, row := range []struct {
		text string
		want []line
	}{
		{"a >= b <=> a - b >= 0 <=> (x - y)^2 >= 0", []line{
			{"", "1:1", "a >= b"}, {"<=>", "1:12", "a - b >= 0"}, {"<=>", "1:27", "(x - y)^2 >= 0"}}},
		{"a >= b\n\n  => a - b >= 0\r\n<= c >= 0", []line{
			{"", "1:1", "a >= b"}, {"=>", "3:6", "a - b >= 0"}, {"<=", "4:4", "c >= 0"}}},
		{"a^2 - 2ab + b^2\n = (a - b)^2\n ≥ 0", []line{{"", "1:1", "a^2 - 2ab + b^2 = (a - b)^2 >= 0"}}},
		{`a &= b \\ &\iff a - b = 0 \\ \Rightarrow c = 0`, []line{
			{"", "1:1", "a = b"}, {"<=>", "1:17", "a - b = 0"}, {"=>", "1:42", "c = 0"}}},
		{"½ < 1 \\\\ ½ < 2 \\\\\n½ < 3", []line{{"", "1:1", "1/2 < 1"}, {"", "1:10", "1/2 < 2"}, {"", "2:1", "1/2 < 3"}}},
		{"x > 1, hence x^2 > 1", []line{{"", "1:1", "x > 1"}, {"=>", "1:14", "x^2 > 1"}}},
		{"x > 1 hence x^2 > 1 so x^2 > 0", []line{{"", "1:1", "x > 1"}, {"=>", "1:13", "x^2 > 1"}, {"=>", "1:24", "x^2 > 0"}}},
		{"x > 1 if and only if x - 1 > 0", []line{{"", "1:1", "x > 1"}, {"<=>", "1:22", "x - 1 > 0"}}},
		{"(x > 1 => y > 1) and z > 1\n=> z", []line{{"", "1:1", "(x > 1 => y > 1) and z > 1"}, {"=>", "2:4", "z"}}},
		{"x +\ny = 1", []line{{"", "1:4", "refused: expected-expression"}, {"", "2:1", "y = 1"}}},
		{"ü\na = b", []line{{"", "1:1", "refused: unknown-character"}, {"", "2:1", "a = b"}}},
		{"  \n\n", nil},
	} {
		var got []line
		for _, l := range ReadLines(row.text, budget.New(budget.Default())) {
			if l.Diag != nil {
				got = append(got, line{l.Link.String(), l.Diag.At.Start.String(), "refused: " + l.Diag.Code})
			} else {
				got = append(got, line{l.Link.String(), l.Reading.Root.At.Start.String(), Plain(l.Reading.Root)})
				assert.NotEmpty(t, l.Reading.Root.At.In(l.Reading.Text))
			}
		}
		assert.Equal(t, row.want, got, row.text)
	}
}
