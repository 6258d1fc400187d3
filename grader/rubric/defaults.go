package rubric

import "math/big"

// DefaultMarks is the mark scheme of a question that gives none. A method mark
// is for an approach that would lead there, so one named slip does not cost
// it; the accuracy marks are for what is right.
//
//	integers     found     method    1  any: mainly-correct, right-up-to-order, one-slip
//	             exact     accuracy  1  exactly-right                                     needs found
//	square-form  squares   method    1  any: right-square, one-slip (with a square completed)
//	             exact     accuracy  1  all: equal, square-form                           needs squares
//	steps        begun     method    1  sound-start
//	             steps     accuracy  1  all: each-step-ok, arrives                        needs begun
//	             proved    accuracy  1  all: direction, conclusion                        needs begun
//	values       found     method    1  any: some-place, right-value
//	             exact     accuracy  1  all: right-places, right-value                    needs found
func DefaultMarks(kind Kind) []*Criterion {
	mark := func(id string, typ Type, needs string, findings ...string) *Criterion {
		c := &Criterion{ID: Text{Value: id}, Type: typ, Worth: big.NewRat(1, 1), FollowThrough: typ != Accuracy}
		c.For, c.ForAny = plainTexts(findings), typ == Method
		if needs != "" {
			c.Needs = []Text{{Value: needs}}
		}
		return c
	}
	switch kind {
	case Integers:
		found := mark("found", Method, "", "mainly-correct", "right-up-to-order", "one-slip")
		return []*Criterion{found, mark("exact", Accuracy, "found", "exactly-right")}
	case SquareForm:
		squares := mark("squares", Method, "", "right-square", "one-slip")
		squares.Slips = plainTexts(completing)
		return []*Criterion{squares, mark("exact", Accuracy, "squares", "equal", "square-form")}
	case Values:
		return []*Criterion{
			mark("found", Method, "", "some-place", "right-value"),
			mark("exact", Accuracy, "found", "right-places", "right-value"),
		}
	case Steps:
		return []*Criterion{
			mark("begun", Method, "", "sound-start"),
			mark("steps", Accuracy, "begun", "each-step-ok", "arrives"),
			mark("proved", Accuracy, "begun", "direction", "conclusion"),
		}
	}
	return nil
}

// completing are the slips of somebody who does complete a square.
var completing = []string{"bracket-sign", "constant-not-compensated", "compensated-twice", "halved-not-squared", "leading-coefficient"}

func plainTexts(list []string) []Text {
	out := make([]Text, len(list))
	for i, s := range list {
		out[i].Value = s
	}
	return out
}
