package rubric

import "math/big"

// DefaultMarks is the mark scheme of a question that gives none.
//
//	integers     found     method    1  some-correct
//	             exact     accuracy  1  exactly-right            needs found
//	square-form  squares   method    1  right-square
//	             exact     accuracy  1  equal and square-form    needs squares
//	steps        begun     method    1  first-step-ok
//	             steps     accuracy  1  each-step-ok             needs begun
//	             proved    accuracy  1  direction and conclusion needs begun
func DefaultMarks(kind Kind) []*Criterion {
	mark := func(id string, typ Type, needs string, findings ...string) *Criterion {
		c := &Criterion{ID: Text{Value: id}, Type: typ, Worth: big.NewRat(1, 1), FollowThrough: typ != Accuracy}
		for _, f := range findings {
			c.For = append(c.For, Text{Value: f})
		}
		if needs != "" {
			c.Needs = []Text{{Value: needs}}
		}
		return c
	}
	switch kind {
	case Integers:
		return []*Criterion{
			mark("found", Method, "", "some-correct"),
			mark("exact", Accuracy, "found", "exactly-right"),
		}
	case SquareForm:
		return []*Criterion{
			mark("squares", Method, "", "right-square"),
			mark("exact", Accuracy, "squares", "equal", "square-form"),
		}
	case Steps:
		return []*Criterion{
			mark("begun", Method, "", "first-step-ok"),
			mark("steps", Accuracy, "begun", "each-step-ok"),
			mark("proved", Accuracy, "begun", "direction", "conclusion"),
		}
	}
	return nil
}
