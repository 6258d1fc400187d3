package slip

// The square is completed, but the constant that this brings in is not taken
// away again: x² + 6x + 11 becomes (x + 3)² + 11.
var constantNotCompensated = Slip{
	ID:     "constant-not-compensated",
	Title:  "constant not compensated",
	Text:   "the number that the square brings in is not taken away again",
	Kinds:  []string{SquareForm, Steps},
	Source: "common practice, no source",
	Examples: []Example{
		{Kind: SquareForm, Variables: "x", Ask: "x^2 - 14x + 52", Written: "(x - 7)^2 + 52", Named: true},
		{Kind: SquareForm, Variables: "x", Ask: "3x^2 + 12x + 17", Written: "3(x + 2)^2 + 17", Named: true},
		{Kind: SquareForm, Variables: "u, v", Ask: "u^2 + 8u + v^2 - 2v + 20", Written: "(u + 4)^2 + (v - 1)^2 + 20", Named: true},
		{Kind: SquareForm, Variables: "x", Ask: "x^2 - 14x + 52", Written: "(x - 7)^2 + 50", Named: false},
		{Kind: Steps, Variables: "t", Ask: "t^2 - 10t + 31 > 0", Written: "(t - 5)^2 + 31 > 0", Named: true},
	},
	square: func(s squares) bool {
		all := s.Ring.Int(0)
		for _, q := range s.quadratics() {
			if s.off(s.square(q)) {
				return true
			}
			if _, number := q.half.IsConst(); number {
				all = s.Ring.Add(all, s.square(q))
			}
		}
		return s.off(all)
	},
}
