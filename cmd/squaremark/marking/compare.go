package marking

import (
	"math/big"
	"slices"
	"strings"
)

// Difference is what became of marks between two runs.
type Difference struct {
	Before, After *Record // a record of each run; nil where a run has none
	Compared      int     // pupils in both
	Changed       []Changed
	Gone, New     []string // pupils in one run only
}

// Changed is one pupil whose marks, or whose need of a person, changed.
type Changed struct {
	Pupil     string
	From, To  Exact
	Total     Exact
	Questions []ChangedQuestion
}

// ChangedQuestion tells by criterion what changed and why.
type ChangedQuestion struct {
	ID          string
	From, To    Exact
	OtherAnswer bool // the answer itself is another one
	Criteria    []ChangedCriterion
	Findings    []string // "remaining-constant: not met, now met"
}

// ChangedCriterion is one line of the mark scheme. Kind is "marks", "new",
// "gone", "worth" or "person".
type ChangedCriterion struct {
	ID       string
	Kind     string
	From, To Exact
	Of       Exact
	Then     string // why it was so
	Now      string // why it is so
}

// Compare matches two runs by pupil and lists whose marks change, in the order
// of the new run.
func Compare(before, after []Record) Difference {
	var d Difference
	old := map[string]*Record{}
	for i := range before {
		old[before[i].Pupil] = &before[i]
		d.Before = &before[i]
	}
	seen := map[string]bool{}
	for i := range after {
		now := &after[i]
		d.After = now
		seen[now.Pupil] = true
		then := old[now.Pupil]
		if then == nil {
			d.New = append(d.New, now.Pupil)
			continue
		}
		d.Compared++
		c := Changed{Pupil: now.Pupil, From: then.Marks, To: now.Marks, Total: now.Total}
		for _, id := range idsOf(then, now) {
			if q, changed := compareQuestion(id, questionIn(then, id), questionIn(now, id)); changed {
				c.Questions = append(c.Questions, q)
			}
		}
		if len(c.Questions) > 0 {
			d.Changed = append(d.Changed, c)
		}
	}
	for _, r := range before {
		if !seen[r.Pupil] {
			d.Gone = append(d.Gone, r.Pupil)
		}
	}
	return d
}

func idsOf(then, now *Record) []string {
	var ids []string
	for _, r := range []*Record{now, then} {
		for _, q := range r.Questions {
			if !slices.Contains(ids, q.ID) {
				ids = append(ids, q.ID)
			}
		}
	}
	return ids
}

// questionIn is a question of a record, without marks where it has none.
func questionIn(r *Record, id string) Question {
	for _, q := range r.Questions {
		if q.ID == id {
			return q
		}
	}
	return Question{ID: id, Marks: Exact{new(big.Rat)}, Total: Exact{new(big.Rat)}}
}

func compareQuestion(id string, then, now Question) (ChangedQuestion, bool) {
	out := ChangedQuestion{
		ID: id, From: then.Marks, To: now.Marks,
		OtherAnswer: strings.TrimSpace(then.Answer) != strings.TrimSpace(now.Answer),
		Findings:    changedFindings(then.Findings, now.Findings),
	}
	for _, c := range now.Criteria {
		i := slices.IndexFunc(then.Criteria, func(o Criterion) bool { return o.ID == c.ID })
		change := ChangedCriterion{ID: c.ID, To: c.Awarded, Of: c.Of, Now: c.Because}
		switch {
		case i < 0:
			change.Kind, change.From = "new", Exact{new(big.Rat)}
		case then.Criteria[i].Of.Cmp(c.Of.Rat) != 0:
			change.Kind, change.From, change.Then = "worth", then.Criteria[i].Awarded, then.Criteria[i].Because
		case then.Criteria[i].Awarded.Cmp(c.Awarded.Rat) != 0:
			change.Kind, change.From, change.Then = "marks", then.Criteria[i].Awarded, then.Criteria[i].Because
		case then.Criteria[i].NeedsPerson != c.NeedsPerson:
			change.Kind, change.From, change.Then = "person", then.Criteria[i].Awarded, then.Criteria[i].Because
		default:
			continue
		}
		out.Criteria = append(out.Criteria, change)
	}
	for _, c := range then.Criteria {
		if !slices.ContainsFunc(now.Criteria, func(n Criterion) bool { return n.ID == c.ID }) {
			out.Criteria = append(out.Criteria, ChangedCriterion{ID: c.ID, Kind: "gone", From: c.Awarded, To: Exact{new(big.Rat)}, Of: c.Of, Then: c.Because})
		}
	}
	moved := then.Marks.Cmp(now.Marks.Rat) != 0 || then.NeedsPerson != now.NeedsPerson
	return out, moved
}

// changedFindings lists findings about the whole answer whose state changed.
func changedFindings(then, now []Finding) []string {
	var list []string
	for _, n := range now {
		for _, o := range then {
			if n.Code == o.Code && n.Code != "line" && n.Code != "slip" && n.State != o.State {
				list = append(list, n.Code+": "+o.State+", now "+n.State)
			}
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}
