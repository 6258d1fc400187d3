package grader

import (
	"math/big"
	"sort"
	"strings"

	"squaremark/algebra"
	"squaremark/algebra/source"
	"squaremark/grader/rubric"
)

// Grade marks one submission. It is a pure function of the submission, the
// rubric and the engine's version, and safe for concurrent use. Every question
// of the rubric is in the result; an answer that cannot be read, is too long
// or cannot be settled does not disturb the others.
// Cost: bounded by the limits of each question of the rubric.
func (m *Marker) Grade(sub Submission) Result {
	r := m.rubric
	out := Result{
		Quiz: r.Quiz.Value, RubricDigest: r.Digest, EngineVersion: algebra.EngineVersion,
		Marks: new(big.Rat), Total: new(big.Rat).Set(r.Total), Ignored: m.ignored(sub),
	}
	for _, q := range m.questions {
		answer, given := sub.Answers[q.rubric.ID.Value]
		one := q.grade(answer, given)
		out.Questions = append(out.Questions, one)
		out.Marks.Add(out.Marks, one.Marks)
		out.NeedsPerson = out.NeedsPerson || one.NeedsPerson
	}
	out.Provisional = out.NeedsPerson
	return out
}

// maxIgnored is how many unknown ids a result names.
const maxIgnored = 20

// ignored lists ids in the submission that are no question of the rubric.
func (m *Marker) ignored(sub Submission) []string {
	known := map[string]bool{}
	for _, q := range m.questions {
		known[q.rubric.ID.Value] = true
	}
	var list []string
	for id := range sub.Answers {
		if !known[id] {
			list = append(list, source.Shorten(strings.ToValidUTF8(id, "�"), shown))
		}
	}
	sort.Strings(list)
	return list[:min(len(list), maxIgnored)]
}

// grade marks the answer to one question.
func (q *question) grade(answer Answer, given bool) QuestionResult {
	if size := answer.size(); size > MaxAnswerBytes {
		return award(q.rubric, q.say, tooLong(q.say, q.say.tooLong(MaxAnswerBytes), q.rubric.Rules.Unreadable))
	}
	if !given || answer.blank() {
		out := award(q.rubric, q.say, unanswered(q.say))
		out.Answered = false
		return out
	}
	if q.rubric.Kind == rubric.Steps {
		lines := answer.chain()
		if len(lines) > MaxLines {
			return award(q.rubric, q.say, tooLong(q.say, q.say.tooManyLines(MaxLines), q.rubric.Rules.Unreadable))
		}
		return award(q.rubric, q.say, q.chain(lines))
	}
	return award(q.rubric, q.say, q.single(answer.single()))
}

// single judges an answer that is one text.
func (q *question) single(text rubric.Text) judged {
	switch q.rubric.Kind {
	case rubric.Integers:
		return q.integers(text)
	case rubric.Values:
		return q.values(text)
	}
	return q.squareForm(text)
}

// size is the length of an answer in bytes, all lines together.
func (a Answer) size() int {
	n := len(a.Text)
	for _, l := range a.Lines {
		n += len(l.Text) + len(l.Link)
	}
	return n + len(a.Lines)
}

// blank reports that nothing is written.
func (a Answer) blank() bool {
	for _, l := range a.Lines {
		if strings.TrimSpace(l.Text) != "" {
			return false
		}
	}
	return strings.TrimSpace(a.Text) == ""
}

// single is the answer as one text. Lines are put together where the platform
// sent such.
func (a Answer) single() rubric.Text {
	text := a.Text
	for _, l := range a.Lines {
		if text != "" {
			text += "\n"
		}
		text += l.Text
	}
	return rubric.Plain(strings.ToValidUTF8(text, "�"))
}

// chain is the answer as lines with links, without the words around them. A
// link may also be written in front of the text of a line.
func (a Answer) chain() []rubric.Line {
	var lines []rubric.Line
	if strings.TrimSpace(a.Text) != "" {
		lines = rubric.SplitText(strings.ToValidUTF8(a.Text, "�"))
	}
	for _, l := range a.Lines {
		parts := rubric.SplitText(strings.ToValidUTF8(l.Text, "�"))
		if link := rubric.LinkOf(l.Link); link != "" && len(parts) > 0 {
			parts[0].Link = link
		}
		lines = append(lines, parts...)
	}
	return rubric.WithoutRemarks(lines)
}
