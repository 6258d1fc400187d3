package metrics

import (
	"slices"
	"strings"

	"squaremark/algebra/budget"
	"squaremark/api/contract"
	"squaremark/grader"
	"squaremark/grader/slip"
	"squaremark/grader/wording"
)

// What became of one answer.
const (
	unanswered = "unanswered"
	unreadable = "unreadable" // the whole of it, or some line
	unsettled  = "unsettled"  // a person decides
	full       = "full"       // every mark
	part       = "part"
	none       = "none"
)

func verdicts() []string { return []string{unanswered, unreadable, unsettled, full, part, none} }

// verdict puts an answer into one class, the first that fits.
func verdict(q *grader.QuestionResult) string {
	switch {
	case !q.Answered:
		return unanswered
	case has(q, "unreadable"), has(q, "too-long"):
		return unreadable
	case q.NeedsPerson:
		return unsettled
	case q.Marks.Cmp(q.Total) == 0:
		return full
	case q.Marks.Sign() > 0:
		return part
	}
	return none
}

func has(q *grader.QuestionResult, code string) bool {
	for _, f := range q.Findings {
		if f.Code == code {
			return true
		}
	}
	return false
}

var kinds = newClosed(string(contract.Integers), string(contract.SquareForm), string(contract.Steps), string(contract.Values))

// slips are the ids of the catalogue.
var slips = func() *closed {
	c := newClosed()
	for _, s := range slip.Catalogue() {
		c.words[s.ID] = true
	}
	return c
}()

// limits are the engine's, with what is said of each in every language when it is reached. A result tells of it in
// words only, so a limit for which a language has no words is not seen there.
var limits = func() map[string][]string {
	says := map[string][]string{}
	for _, name := range []string{"work", "bits", "terms", "degree"} {
		for _, language := range wording.Known() {
			if text := language.Engine((&budget.ExhaustedError{Limit: name}).Error()); text != "" {
				says[name] = append(says[name], text)
			}
		}
	}
	return says
}()

// answer counts one marked answer.
func (m *Metrics) answer(q *grader.QuestionResult) {
	m.answers.WithLabelValues(kinds.word(q.Kind), verdict(q)).Inc()
	for _, f := range q.Findings {
		if f.Code == "slip" {
			m.slips.WithLabelValues(slips.word(f.Slip)).Inc()
		}
	}
	if !q.NeedsPerson {
		return
	}
	for name, says := range limits {
		if waitsFor(q, says) {
			m.exhausted.WithLabelValues(name).Inc()
		}
	}
}

// waitsFor tells whether some criterion is left to a person with one of these sentences.
func waitsFor(q *grader.QuestionResult, says []string) bool {
	return slices.ContainsFunc(q.Criteria, func(c grader.CriterionResult) bool {
		return c.NeedsPerson && slices.ContainsFunc(says, func(text string) bool { return strings.Contains(c.Because, text) })
	})
}
