package rubric

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/algebra/source"
)

// Each row is a YAML value with a mark in it: the rune after « stands at the
// place that the table asks for. The mark is taken out before reading.
func TestPlacesInEveryStyle(t *testing.T) {
	for _, row := range []struct{ name, yaml, text string }{
		{"plain", "k: x² + «y", "y"},
		{"plain over two lines", "k: x²\n  + 1 +\n  «y", "y"},
		{"plain with a blank line", "k: x²\n\n  + «y", "y"},
		{"plain before a comment", "k: x² + «y   # note", "y"},
		{"single-quoted", "k: 'it''s «y'", "y"},
		{"single-quoted, folded", "k: 'it''s\n   so «y'", "y"},
		{"double-quoted with escapes", `k: "a\tb \u00b2 \x41 \\ \" «y"`, "y"},
		{"double-quoted, folded", "k: \"a  \n\n  b «y\"", "y"},
		{"double-quoted, continued", "k: \"a \\\n   b «y\"", "y"},
		{"literal", "k: |\n  x² >= 0\n  <=> «y", "y"},
		{"literal, first line blank", "k: |\n\n  x\n  «y", "y"},
		{"literal with an indented line", "k: |\n  x\n    z\n\n  «y", "y"},
		{"literal, indentation told", "k: |2-\n   x «y", "y"},
		{"literal, kept", "k: |+\n  x «y\n\n", "y"},
		{"literal with a comment in the header", "k: |   # lines\n  x\n  «y", "y"},
		{"folded", "k: >-\n  x² +\n  «y", "y"},
		{"folded with a blank line", "k: >\n  x\n  z\n\n  «y", "y"},
		{"folded with an indented line", "k: >\n  x\n    z\n  «y", "y"},
		{"in a flow mapping", "{a: b, k: x «y}", "y"},
		{"in a flow sequence", "k: [x, 'z «y']", "y"},
		{"line ends of another system", "a: b\r\nk: |\r\n  x\r\n  «y\r\n", "y"},
	} {
		t.Run(row.name, func(t *testing.T) {
			before, after, ok := strings.Cut(row.yaml, "«")
			require.True(t, ok)
			yaml := before + after
			want := source.PositionAt(yaml, len(before))
			found := find(t, yaml, row.text)
			assert.Equal(t, fmt.Sprint(want), fmt.Sprint(found))
		})
	}
}

// find is the place of a rune in the last scalar of a YAML text.
func find(t *testing.T, yaml, mark string) source.Position {
	t.Helper()
	l := &loader{name: "x.yaml"}
	yaml = strings.ReplaceAll(yaml, "\r\n", "\n")
	l.file = newFile(yaml)
	root := l.tree(yaml)
	require.Empty(t, l.diags)
	var last Text
	var walk func(n *node)
	walk = func(n *node) {
		if n.shape == scalar && strings.Contains(n.text.Value, mark) {
			last = n.text
		}
		for _, k := range n.kids {
			walk(k)
		}
	}
	walk(root)
	i := strings.Index(last.Value, mark)
	require.GreaterOrEqual(t, i, 0, "%q", last.Value)
	return last.Place(source.PositionAt(last.Value, i))
}

func TestSplitLines(t *testing.T) {
	for _, row := range []struct{ text, want string }{
		{"x^2 >= 0", `:x^2 >= 0@1:1`},
		{"x > 1\n=> x > 0", `:x > 1@1:1 | =>:x > 0@2:4`},
		{"x > 1 ⇔ x - 1 > 0", `:x > 1@1:1 | <=>:x - 1 > 0@1:9`},
		{"  <= x > 2", `<=:x > 2@1:6`},
		{"x <= 2", `:x <= 2@1:1`},
		{"x > 1\n\\iff\nx - 1 > 0", `:x > 1@1:1 | <=>:x - 1 > 0@3:1`},
		{"x > 1\n\n  \nx > 0", `:x > 1@1:1 | :x > 0@4:1`},
		{"x^2 - 1\n  = (x-1)(x+1)", `:x^2 - 1 = (x-1)(x+1)@1:1`},
		{"", ``},
		{"x > 1\n=>", `:x > 1@1:1 | =>:@2:3`},
	} {
		var parts []string
		for _, l := range SplitText(row.text) {
			parts = append(parts, fmt.Sprintf("%s:%s@%s", l.Link, strings.Join(strings.Fields(l.Text.Value), " "), l.Text.Start()))
		}
		assert.Equal(t, row.want, strings.Join(parts, " | "), "%q", row.text)
	}
}
