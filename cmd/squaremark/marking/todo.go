package marking

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"squaremark/grader/rubric"
)

// held is an answer that a person must look at, with all who gave it.
type held struct {
	Question string
	Pupils   []string
	Criteria []string // "square (1)"
	Why      string
	Answer   string
}

// heldIn lists what a person must look at, question by question, equal answers
// once, so that answers to one question are marked alike.
func heldIn(r *rubric.Rubric, records []Record) []held {
	var list []held
	for i, question := range r.Questions {
		at := map[string]int{}
		for _, rec := range records {
			if i >= len(rec.Questions) || !rec.Questions[i].NeedsPerson {
				continue
			}
			q := rec.Questions[i]
			if k, known := at[q.Answer]; known {
				list[k].Pupils = append(list[k].Pupils, rec.Pupil)
				continue
			}
			at[q.Answer] = len(list)
			h := held{Pupils: []string{rec.Pupil}, Question: question.ID.Value, Answer: q.Answer}
			for _, c := range q.Criteria {
				if c.NeedsPerson {
					h.Criteria = append(h.Criteria, c.ID+" ("+markText(c.Of)+")")
					if h.Why == "" || strings.Contains(h.Why, "goes with the mark") {
						h.Why = c.Because
					}
				}
			}
			list = append(list, h)
		}
	}
	return list
}

// answersIn counts answers, equal ones each time.
func answersIn(list []held) int {
	n := 0
	for _, h := range list {
		n += len(h.Pupils)
	}
	return n
}

// writeTodo lists the work for a person as text.
func writeTodo(w io.Writer, r *rubric.Rubric, records []Record) error {
	b := bufio.NewWriter(w)
	list := heldIn(r, records)
	if len(list) == 0 {
		fmt.Fprintln(b, "Nothing waits for a person.")
		return b.Flush()
	}
	fmt.Fprintf(b, "%d answers wait for a person, %d of them different. The marks in brackets are not given yet.\n", answersIn(list), len(list))
	question := ""
	for _, h := range list {
		if h.Question != question {
			question = h.Question
			fmt.Fprintf(b, "\n%s\n", question)
		}
		fmt.Fprintf(b, "\n  [ ] %s\n      %s\n      %s\n", strings.Join(h.Criteria, ", "), strings.Join(h.Pupils, ", "), h.Why)
		for _, line := range strings.Split(h.Answer, "\n") {
			fmt.Fprintf(b, "      | %s\n", strings.TrimRight(visible(line), "\r"))
		}
	}
	return b.Flush()
}

// visible shows characters that would change how a text looks or runs: controls
// and those that turn the direction of writing (Unicode Standard Annex 9).
func visible(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\r' || r == '\t':
			return r
		case r < ' ' || r >= 0x7f && r < 0xa0, r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069, r == 0x200e || r == 0x200f || r == 0x061c:
			return '�'
		}
		return r
	}, text)
}
