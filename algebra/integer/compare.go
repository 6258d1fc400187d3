package integer

import (
	"math/big"

	"squaremark/algebra/budget"
	"squaremark/algebra/decide/onevar"
	"squaremark/algebra/formula"
)

// Comparison tells how an answer differs from the solution set.
type Comparison struct {
	Correct bool
	// Missing and Extra list members; where they are infinitely many the text
	// describes them instead.
	Missing, Extra         [][]*big.Int
	MissingText, ExtraText string
}

// Compare tells which solutions the answer misses and which members it adds.
// A repeated member is no fault; a value that is not an integer is. The
// answer must be a set. The error is an *Unsettled.
func Compare(solutions *Set, a *Answer, m *budget.Meter) (Comparison, error) {
	var c Comparison
	var err error
	if solutions.Finite && a.Set.Finite {
		c.Missing = less(solutions.Tuples, a.Set.Tuples)
		c.Extra = less(a.Set.Tuples, solutions.Tuples)
	} else {
		c.Missing, c.MissingText, err = difference(solutions, a.Set, m)
		if err != nil {
			return c, err
		}
		c.Extra, c.ExtraText, err = difference(a.Set, solutions, m)
		if err != nil {
			return c, err
		}
	}
	c.Correct = len(c.Missing)+len(c.Extra)+len(a.NotIntegers) == 0 && c.MissingText == "" && c.ExtraText == ""
	return c, nil
}

// less lists the members of a that are not in b, both sorted.
func less(a, b [][]*big.Int) [][]*big.Int {
	var out [][]*big.Int
	for _, t := range a {
		for len(b) > 0 && compareTuples(b[0], t) < 0 {
			b = b[1:]
		}
		if len(b) == 0 || compareTuples(b[0], t) != 0 {
			out = append(out, t)
		}
	}
	return out
}

// difference is s without t.
func difference(s, t *Set, m *budget.Meter) ([][]*big.Int, string, error) {
	switch {
	case len(s.Unknowns) == 1:
		return members(s.runs().Minus(t.runs()), s.Unknowns[0])
	case s.Finite:
		var out [][]*big.Int
		for _, tuple := range s.Tuples {
			member, ok := t.Contains(tuple)
			if !ok {
				return nil, "", unsettled("whether %s is a member was not decided", TupleText(tuple))
			}
			if !member {
				out = append(out, tuple)
			}
		}
		return out, "", nil
	case t.Finite: // infinitely many are left
		text := s.Text
		for i, tuple := range t.Tuples {
			text += [...]string{", without ", ", "}[min(i, 1)] + TupleText(tuple)
		}
		return nil, text, nil
	}
	d, err := Solve(s.condition.scope, formula.And(s.Formula(), formula.Not(t.Formula())), s.condition.unknowns, m)
	if err != nil {
		return nil, "", err
	}
	return d.Tuples, d.Text, nil
}

// runs is the set in one unknown as runs.
func (s *Set) runs() onevar.Runs {
	if s.Runs != nil || !s.Finite {
		return s.Runs
	}
	var list []onevar.Run
	for _, t := range s.Tuples {
		list = append(list, onevar.Run{Lo: t[0], Hi: t[0]})
	}
	return onevar.Normal(list)
}

// members lists a finite set and describes any other.
func members(r onevar.Runs, name string) ([][]*big.Int, string, error) {
	if !r.IsFinite() {
		return nil, r.Text(name), nil
	}
	if r.Len().Cmp(big.NewInt(MaxListed)) > 0 {
		return nil, "", tooMany(r.Len().String())
	}
	return listed(r), "", nil
}
