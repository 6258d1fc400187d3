package algebra_test

import (
	"testing"

	"squaremark/algebra"
	"squaremark/algebra/budget"
)

// BenchmarkChains judges every chain of the examples.
func BenchmarkChains(b *testing.B) {
	for file, cases := range readChains(b) {
		steps := 0
		questions := make([]*algebra.Question, len(cases))
		for i, c := range cases {
			questions[i] = c.question(b)
			steps += len(c.lines)
		}
		b.Run(file, func(b *testing.B) {
			for b.Loop() {
				for i, c := range cases {
					questions[i].Steps(c.claim, c.lines, c.start)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*steps), "µs/step")
		})
	}
}

// BenchmarkTwentyLines judges a right chain of twenty lines.
func BenchmarkTwentyLines(b *testing.B) {
	q, _ := algebra.NewQuestion([]algebra.Declared{{Name: "x"}, {Name: "y"}}, nil, budget.Default())
	forms := []string{
		"x^2 + 8x + y^2 - 6y + 29 > 0", "(x + 4)^2 + y^2 - 6y + 13 > 0", "(x + 4)^2 + (y - 3)^2 + 4 > 0",
		"2(x + 4)^2 + 2(y - 3)^2 + 8 > 0", "2(x + 4)^2 + 2(y - 3)^2 > -8",
	}
	var lines []algebra.Line
	for i := range 20 {
		lines = append(lines, algebra.Line{Text: forms[(i+1)%len(forms)], Link: "<=>"})
	}
	for b.Loop() {
		q.Steps(forms[0], lines, algebra.StartAuto)
	}
}
