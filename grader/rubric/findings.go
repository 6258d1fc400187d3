package rubric

// FindingInfo documents one finding: a fact about an answer.
type FindingInfo struct {
	Code    string
	Kinds   []Kind
	Earns   bool // a criterion may give marks for it
	Meaning string
}

// Findings is the catalogue of findings. Codes are never reused.
var Findings = []FindingInfo{
	{"exactly-right", []Kind{Integers}, true, "The answer is the solution set: nothing is missing, nothing is extra."},
	{"complete", []Kind{Integers}, true, "No solution is missing."},
	{"no-extra", []Kind{Integers}, true, "Every number or tuple of the answer is a solution."},
	{"some-correct", []Kind{Integers}, true, "At least one solution is given; where there is none, the answer says so."},
	{"mainly-correct", []Kind{Integers}, true, "Some solution is given, and not more that is wrong than right; where there is none, the answer says so."},
	{"each-solution", []Kind{Integers}, true, "In part: the share of the solutions that are given, where each wrong one takes a right one away. For a set without end: all or nothing."},
	{"states-none", []Kind{Integers}, true, "The answer says that there is no solution, and there is none."},
	{"right-up-to-order", []Kind{Integers}, true, "The answer is right, perhaps with the numbers of every tuple in another order."},
	{"is-set", []Kind{Integers}, true, "The answer is a list, a set or rays, and does not restate the question."},

	{"equal", []Kind{SquareForm}, true, "The answer equals the expression for all values."},
	{"square-form", []Kind{SquareForm}, true, "The answer is made of multiples of squares, all of one sign, plus a constant."},
	{"right-square", []Kind{SquareForm}, true, "The squares are right: the answer has square form and differs from the expression by a number at most."},
	{"remaining-constant", []Kind{SquareForm}, true, "The constant beside the squares is that of the model answer. With follow-through: or the one that fits the pupil's own squares."},

	{"starts-at-claim", []Kind{Steps}, true, "The chain begins at the claim, or with a right step from it."},
	{"first-step-ok", []Kind{Steps}, true, "The first step of the chain is right."},
	{"sound-start", []Kind{Steps}, true, "The first step that does more than repeat the claim is right, or exactly what one named slip makes of a right one."},
	{"each-step-ok", []Kind{Steps}, true, "Every step is right. In part where the rules give a doubtful line half."},
	{"ok-share", []Kind{Steps}, true, "In part: the share of the steps that are right. Without follow-through, steps after the first wrong one do not count."},
	{"no-leap", []Kind{Steps}, true, "No line is true without a step that leads there."},
	{"no-false-step", []Kind{Steps}, true, "No step is wrong, and none needs a condition that is not given."},
	{"links-written", []Kind{Steps}, true, "A link sign stands in front of every line that follows from another one."},
	{"uses-move", []Kind{Steps}, true, "Some right step uses one of the moves that the criterion names."},
	{"reaches-square-form", []Kind{Steps}, true, "The chain arrives at squares compared with a number. Without follow-through, every step up to there must be right."},
	{"arrives", []Kind{Steps}, true, "The chain joins the claim to something evidently true, or arrives from it at squares compared with a number, whatever its steps are worth."},
	{"conclusion", []Kind{Steps}, true, "One end of the chain is the claim and the other is evidently true. Without follow-through, every step must be right."},
	{"direction", []Kind{Steps}, true, "The links can be read from what is evident to the claim."},
	{"correct", []Kind{Steps}, true, "The chain proves the claim: every step, the direction and the conclusion are right."},

	{"some-place", []Kind{Values}, true, "A place is told at which the value is taken or equality holds, and no other one."},
	{"right-places", []Kind{Values}, true, "The places told are exactly those at which the value is taken or equality holds."},
	{"right-value", []Kind{Values}, true, "The value told is the one asked for. Where only the case of equality is asked for: as right-places."},

	{"one-slip", []Kind{Integers, SquareForm, Steps}, true, "The answer is right, or exactly what one named slip makes of a right one."},

	{"unanswered", []Kind{Integers, SquareForm, Steps, Values}, false, "Nothing was answered."},
	{"unreadable", []Kind{Integers, SquareForm, Steps, Values}, false, "A text could not be read; the place says where."},
	{"too-long", []Kind{Integers, SquareForm, Steps, Values}, false, "The answer is longer than is read: see the bounds."},
	{"unsettled", []Kind{Integers, SquareForm, Steps, Values}, false, "The engine came to no answer; a person must look."},
	{"slip", []Kind{Integers, SquareForm, Steps}, false, "A named slip gives exactly what was written."},
	{"line", []Kind{Steps}, false, "The judgement of one line: ok, one-way, wrong, needs-condition, leap, unreadable or unsettled."},
}

// FindingByCode is the catalogue entry of a code.
func FindingByCode(code string) (FindingInfo, bool) {
	for _, f := range Findings {
		if f.Code == code {
			return f, true
		}
	}
	return FindingInfo{}, false
}

// ArisesFor reports that answers of this kind can have the finding.
func (f FindingInfo) ArisesFor(kind Kind) bool {
	for _, k := range f.Kinds {
		if k == kind {
			return true
		}
	}
	return false
}
