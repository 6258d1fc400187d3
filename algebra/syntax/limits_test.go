package syntax

import (
	"strings"
	"testing"
	"time"

	"squaremark/algebra/budget"
	"squaremark/algebra/source"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Texts beyond a limit are refused with the limit's own code, and never by
// running out of stack.
func TestLimits(t *testing.T) {
	wide := budget.Default()
	wide.Bytes, wide.Nodes, wide.Digits, wide.Work = 1<<22, 1<<30, 1<<30, 1<<40
	for _, row := range []struct {
		name, text, code string
		limits           budget.Limits
	}{
		{"bytes", strings.Repeat("x", 4001), codeBytes, budget.Default()},
		{"nodes", strings.Repeat("1+", 1999) + "1", "", budget.Default()},
		{"more nodes", "1" + strings.Repeat("+1", 2001), codeBytes, budget.Default()},
		{"brackets", strings.Repeat("(", 1_000_000), codeDepth, wide},
		{"square brackets", strings.Repeat("[", 100_000), codeDepth, wide},
		{"braces", strings.Repeat("{", 100_000), codeDepth, wide},
		{"powers", strings.Repeat("2^", 100_000), codeDepth, wide},
		{"powers in braces", strings.Repeat("2^{", 100_000), codeDepth, wide},
		{"signs", strings.Repeat("-", 100_000), codeDepth, wide},
		{"signs after times", strings.Repeat("2*-", 100_000), "", wide},
		{"bars", strings.Repeat("|", 100_000), codeDepth, wide},
		{"fractions", strings.Repeat(`\frac{`, 100_000), codeDepth, wide},
		{"roots", strings.Repeat("√", 100_000), codeDepth, wide},
		{"root brackets", strings.Repeat(`\sqrt[`, 100_000), codeDepth, wide},
		{"indices", strings.Repeat("a_{", 100_000), codeDepth, wide},
		{"sums", strings.Repeat("Σ", 100_000), codeDepth, wide},
		{"nots", strings.Repeat("not ", 100_000), codeDepth, wide},
		{"digits", strings.Repeat("7", 61), codeDigits, budget.Default()},
		{"work", "x + 1", codeWork, budget.Limits{Bytes: 100, Depth: 10, Nodes: 10, Digits: 10, Work: 5}},
		{"few nodes", "x + y + z", codeNodes, budget.Limits{Bytes: 100, Depth: 10, Nodes: 3, Digits: 10, Work: 500}},
		{"bytes that are no text", "x\xff", codeEncoding, budget.Default()},
	} {
		start := time.Now()
		_, d := Read(row.text, budget.New(row.limits))
		assert.Less(t, time.Since(start), 5*time.Second, row.name)
		if row.code == "" {
			if d != nil {
				assert.NotEqual(t, codeDepth, d.Code, row.name)
			}
			continue
		}
		if assert.NotNil(t, d, row.name) {
			assert.Equal(t, row.code, d.Code, row.name)
			assert.NotEmpty(t, d.Message)
		}
	}
}

// The meter is charged for each token.
func TestCostOfReading(t *testing.T) {
	m := budget.New(budget.Default())
	before := m.Left()
	_, d := Read("x + 1", m)
	require.Nil(t, d)
	assert.Equal(t, int64(4*budget.CostToken), before-m.Left()) // three and the end
}

// inside checks that the places of a tree lie in the text and inside each
// other's lines.
func inside(t *testing.T, text string, n *Node) {
	t.Helper()
	place(t, text, n.At)
	for _, k := range n.Kids {
		inside(t, text, k)
	}
}

func place(t *testing.T, text string, s source.Span) {
	t.Helper()
	require.True(t, s.Start.Offset >= 0 && s.Start.Offset <= s.End.Offset && s.End.Offset <= len(text), "%q: %+v", text, s)
	for _, p := range []source.Position{s.Start, s.End} {
		require.Equal(t, source.PositionAt(text, p.Offset), p, "%q", text)
	}
}

// FuzzRead: no text makes the reader panic, hang or point outside the text,
// and what it prints reads back.
func FuzzRead(f *testing.F) {
	for _, row := range table(f, "reads.txt") {
		f.Add(row[0])
	}
	for _, row := range table(f, "refused.txt") {
		f.Add(row[0])
	}
	f.Add("a >= b\n<=> a - b >= 0\r\n= c")
	f.Fuzz(func(t *testing.T, text string) {
		start := time.Now()
		r, d := Read(text, budget.New(budget.Default()))
		if d != nil {
			require.NotEmpty(t, d.Message)
			place(t, text, d.At)
		} else {
			inside(t, text, r.Root)
			for _, n := range r.Notes {
				place(t, text, n.At)
			}
			for name, print := range map[string]func(*Node) string{"Plain": Plain, "LaTeX": LaTeX} {
				printed := print(r.Root)
				again, d := Read(printed, roomy())
				require.Nil(t, d, "%s of %q: %q: %v", name, text, printed, d)
				require.True(t, Equal(r.Root, again.Root), "%s of %q: %q reads back as %q", name, text, printed, print(again.Root))
			}
			MathML(r.Root)
		}
		for _, l := range ReadLines(text, budget.New(budget.Default())) {
			require.True(t, (l.Reading == nil) != (l.Diag == nil))
			if l.Reading != nil {
				inside(t, text, l.Reading.Root)
			} else {
				place(t, text, l.Diag.At)
			}
		}
		require.Less(t, time.Since(start), 2*time.Second)
	})
}
