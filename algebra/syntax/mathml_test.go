package syntax

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestLaTeX(t *testing.T) {
	for _, row := range [][2]string{
		{"(a+b)/2 >= sqrt(a b)", `\frac{a + b}{2} \ge \sqrt{a b}`},
		{"(1/2)^2", `\left(\frac{1}{2}\right)^{2}`},
		{"2*(1/2)", `2 \cdot \frac{1}{2}`},
		{"|x - 1|^3", `\left|x - 1\right|^{3}`},
		{"sum(i=1..n, a_i^2) + 1", `\sum_{i=1}^{n} a_{i}^{2} + 1`},
		{"sum(i=1..n, a_i)^2", `\left(\sum_{i=1}^{n} a_{i}\right)^{2}`},
		{"x = 0, 1 or 2", `x = 0, 1 \text{ or } 2`},
		{"x in (-oo, 1] ∪ {alpha}", `x \in \left(-\infty, 1\right] \cup \{\alpha\}`},
		{"none", `\text{no solutions}`},
	} {
		assert.Equal(t, row[1], LaTeX(mustRead(t, row[0]).Root), row[0])
	}
}

func TestMathML(t *testing.T) {
	const head = `<math xmlns="http://www.w3.org/1998/Math/MathML" alttext="`
	for _, row := range [][2]string{
		{"x^2 - 1 < 0", `x^2 - 1 &lt; 0"><msup><mi>x</mi><mn>2</mn></msup><mo>−</mo><mn>1</mn><mo>&lt;</mo><mn>0</mn></math>`},
		{"(a+b)/2", `(a + b)/2"><mfrac><mrow><mi>a</mi><mo>+</mo><mi>b</mi></mrow><mn>2</mn></mfrac></math>`},
		{"-alpha_1", `-alpha_1"><mo>−</mo><msub><mi>α</mi><mn>1</mn></msub></math>`},
		{"root(3, 2x)", `root(3, 2x)"><mroot><mrow><mn>2</mn><mo>` + "\u2062" + `</mo><mi>x</mi></mrow><mn>3</mn></mroot></math>`},
		{"x in ℝ", `x in ℝ"><mi>x</mi><mo>∈</mo><mi>ℝ</mi></math>`},
	} {
		assert.Equal(t, head+row[1], MathML(mustRead(t, row[0]).Root), row[0])
	}
}

// Only elements of MathML Core 2.1 are printed, well formed, with the number
// of children that each layout element needs, and no hyphen for minus.
func TestMathMLIsCore(t *testing.T) {
	children := map[string]int{"mfrac": 2, "msup": 2, "msub": 2, "mroot": 2, "munderover": 3, "msqrt": 1,
		"math": -1, "mrow": -1, "mi": 0, "mn": 0, "mo": 0, "mtext": 0}
	rapid.Check(t, func(t *rapid.T) {
		n := forest{t}.answer()
		d := xml.NewDecoder(strings.NewReader(MathML(n)))
		var open []string
		count := []int{0}
		for {
			token, err := d.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err)
			switch token := token.(type) {
			case xml.StartElement:
				require.Contains(t, children, token.Name.Local)
				if token.Name.Local == "math" {
					require.Equal(t, Plain(n), token.Attr[1].Value)
				}
				open = append(open, token.Name.Local)
				count[len(count)-1]++
				count = append(count, 0)
			case xml.EndElement:
				name := open[len(open)-1]
				if want := children[name]; want >= 0 {
					require.Equal(t, want, count[len(count)-1], name)
				}
				open, count = open[:len(open)-1], count[:len(count)-1]
			case xml.CharData:
				require.NotContains(t, string(token), "-")
			}
		}
		require.Empty(t, open)
	})
}
