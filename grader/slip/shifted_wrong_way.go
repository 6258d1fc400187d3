package slip

// The number in the bracket is added where it is to be taken away, or the
// other way round: (n - 4)² = 9 is answered with -1 and -7.
var shiftedWrongWay = Slip{
	ID:     "shifted-wrong-way",
	Title:  "shifted the wrong way",
	Text:   "the number in the bracket is shifted the wrong way",
	Kinds:  []string{Integers},
	Source: "common practice, no source",
	Examples: []Example{
		{Kind: Integers, Variables: "n: integer", Ask: "(n - 6)^2 = 16", Written: "-2, -10", Named: true},
		{Kind: Integers, Variables: "n: integer", Ask: "(n - 6)^2 = 16", Written: "-2, -9", Named: false},
	},
	whole: func(w integers) bool {
		list, ok := w.shifted(2)
		return ok && w.is(list, w.unknowns)
	},
}
