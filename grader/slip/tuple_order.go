package slip

import "squaremark/algebra/syntax"

// The numbers of every tuple stand in another order than that of the
// unknowns.
var tupleOrder = Slip{
	ID:     TupleOrder,
	Title:  "order in the tuples exchanged",
	Text:   "the numbers of the tuples stand in another order than the unknowns",
	Kinds:  []string{Integers},
	Source: "elementary",
	Examples: []Example{
		{Kind: Integers, Variables: "p, q: positive integer", Ask: "p^2 + 3q^2 = 28 and p > q", Written: "(1, 5), (2, 4)", Named: true},
		{Kind: Integers, Variables: "p, q: positive integer", Ask: "p^2 + 3q^2 = 28 and p > q", Written: "(5, 1), (4, 1)", Named: false},
	},
	sets: func(w integers, try func([]*syntax.Node, []string) bool) bool {
		if len(w.unknowns) > 3 {
			return false
		}
		found := false
		permutations(w.unknowns, 0, func(order []string) {
			found = found || try(w.solve, order)
		})
		return found
	},
}

// permutations visits every order of names but the first.
func permutations(names []string, from int, visit func([]string)) {
	list := append([]string(nil), names...)
	if from == len(list) {
		return
	}
	permutations(list, from+1, visit)
	for i := from + 1; i < len(list); i++ {
		list[from], list[i] = list[i], list[from]
		visit(append([]string(nil), list...))
		permutations(list, from+1, visit)
		list[from], list[i] = list[i], list[from]
	}
}
