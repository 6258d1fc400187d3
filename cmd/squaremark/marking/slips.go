package marking

import (
	"cmp"
	"slices"
	"strings"

	"squaremark/grader/rubric"
	"squaremark/grader/slip"
)

// Slip is a named slip of the class.
type Slip struct {
	ID, Title, Text string
	Answers         int // answers with it
	Pupils          int
	Questions       []string // where it occurs, in the rubric's order
	Examples        []Sample
}

// Sample is an answer that shows something.
type Sample struct{ Pupil, Question, Text string }

// samples is how many examples of one slip are shown.
const samples = 3

// slipsIn counts slips, the most frequent first. Examples are different
// answers, in the order of the file.
func slipsIn(r *rubric.Rubric, records []Record) []Slip {
	known := map[string]*slip.Slip{}
	for _, s := range slip.Catalogue() {
		known[s.ID] = s
	}
	found := map[string]*Slip{}
	pupils := map[string]map[string]bool{}
	for i := range r.Questions {
		for _, rec := range records {
			q := rec.Questions[i]
			for _, id := range slipsOf(q) {
				s := found[id]
				if s == nil {
					s = &Slip{ID: id, Title: id}
					if k := known[id]; k != nil {
						s.Title, s.Text = k.Title, k.Text
					}
					found[id], pupils[id] = s, map[string]bool{}
				}
				s.Answers++
				pupils[id][rec.Pupil] = true
				if !slices.Contains(s.Questions, q.ID) {
					s.Questions = append(s.Questions, q.ID)
				}
				s.show(Sample{rec.Pupil, q.ID, shownLines(q, id)})
			}
		}
	}
	var list []Slip
	for id, s := range found {
		s.Pupils = len(pupils[id])
		list = append(list, *s)
	}
	slices.SortFunc(list, func(a, b Slip) int {
		return cmp.Or(cmp.Compare(b.Answers, a.Answers), cmp.Compare(a.ID, b.ID))
	})
	return list
}

// show keeps an example of a question that has none yet; answers of other
// questions come first.
func (s *Slip) show(one Sample) {
	for _, e := range s.Examples {
		if e.Text == one.Text || e.Question == one.Question {
			return
		}
	}
	if len(s.Examples) < samples {
		s.Examples = append(s.Examples, one)
	}
}

func slipsOf(q Question) []string {
	var ids []string
	for _, f := range q.Findings {
		if f.Slip != "" && f.Code == "slip" && !slices.Contains(ids, f.Slip) {
			ids = append(ids, f.Slip)
		}
	}
	return ids
}

// shownLines is the part of an answer that shows a slip: of a chain, the line
// with the slip and the one before.
func shownLines(q Question, id string) string {
	lines := strings.Split(q.Understood, "\n")
	for _, f := range q.Findings {
		if f.Slip == id && f.Line > 0 && f.Line <= len(lines) {
			return strings.Join(lines[max(f.Line-2, 0):f.Line], "\n")
		}
	}
	return q.Understood
}
