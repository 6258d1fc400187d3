package syntax

import (
	"testing"

	"squaremark/algebra/budget"
)

// Typical lines of pupils' work, about 40 characters each.
var typical = map[string]string{
	"relation": "x^2 - 6x + 9 + 2(y - 1)^2 + 5 >= 5 + 0*x",
	"unicode":  "(x − 3)² + 2(y − 1)² + ½(z − x)² ≥ 0 + 0·x",
	"latex":    `\frac{a^2+b^2}{2} \ge \left(\frac{a+b}{2}\right)^2`,
	"answers":  "x = 0, 1 or 2 and (y, z) = (1, 2), (2, 1)",
}

func BenchmarkRead(b *testing.B) {
	for name, text := range typical {
		b.Run(name, func(b *testing.B) {
			m := budget.New(budget.Limits{Bytes: 4000, Depth: 60, Nodes: 4000, Digits: 60, Work: 1 << 62})
			b.ReportAllocs()
			b.SetBytes(int64(len(text)))
			for b.Loop() {
				if _, d := Read(text, m); d != nil {
					b.Fatal(d)
				}
			}
		})
	}
}

func BenchmarkPlain(b *testing.B) {
	r, d := Read(typical["relation"], budget.New(budget.Default()))
	if d != nil {
		b.Fatal(d)
	}
	b.ReportAllocs()
	for b.Loop() {
		Plain(r.Root)
	}
}
