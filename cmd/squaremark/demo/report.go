package demo

import (
	"fmt"
	"io"
	"sort"
	"strings"
	"text/tabwriter"

	"squaremark/api/contract"
	"squaremark/api/platform/standin"
)

// report prints the gradebook, the slips of the class, and one pupil's
// feedback in full.
func report(out io.Writer, c class, all []marked, book []standin.Entry) {
	gradebook(out, all, book)
	slips(out, all)
	for _, m := range all {
		if m.pupil.ID == c.FeedbackFor {
			feedback(out, m)
		}
	}
	fmt.Fprintln(out, "\nAutomated marks are provisional until a teacher accepts them.")
}

func gradebook(out io.Writer, all []marked, book []standin.Entry) {
	cells := map[string]standin.Entry{}
	for _, e := range book {
		cells[e.UserID] = e
	}
	fmt.Fprintln(out, "Gradebook of the platform (line item out of 100)")
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprint(w, "pupil\t")
	if len(all) > 0 {
		for _, q := range all[0].result.Questions {
			fmt.Fprintf(w, "%s\t", q.ID)
		}
	}
	fmt.Fprint(w, "marks\tshown\tgrading\tdelivery\n")
	for _, m := range all {
		fmt.Fprintf(w, "%s\t", m.pupil.ID)
		for _, q := range m.result.Questions {
			mark := q.Marks + " of " + q.Total
			if q.NeedsPerson {
				mark += " ?"
			}
			fmt.Fprintf(w, "%s\t", mark)
		}
		e := cells[m.pupil.ID]
		shown := "none"
		if e.Shown != nil {
			shown = e.Shown.FloatString(2)
		}
		fmt.Fprintf(w, "%s of %s\t%s\t%s\t%s\n", m.result.Marks, m.result.Total, shown, e.Score.GradingProgress, m.result.Delivery.State)
	}
	_ = w.Flush()
	fmt.Fprintln(out, "A question mark: a person must look.")
}

// slips counts the named slips, the most frequent first.
func slips(out io.Writer, all []marked) {
	count, where := map[string]int{}, map[string]string{}
	for _, m := range all {
		for _, q := range m.result.Questions {
			seen := map[string]bool{"": true}
			for _, f := range q.Findings {
				if !seen[f.Slip] {
					seen[f.Slip] = true
					count[f.Slip]++
					if where[f.Slip] == "" {
						where[f.Slip] = q.ID + ": " + strings.ReplaceAll(q.Understood, "\n", " ; ")
					}
				}
			}
		}
	}
	names := make([]string, 0, len(count))
	for n := range count {
		names = append(names, n)
	}
	sort.Slice(names, func(i, j int) bool {
		if count[names[i]] != count[names[j]] {
			return count[names[i]] > count[names[j]]
		}
		return names[i] < names[j]
	})
	fmt.Fprintln(out, "\nSlips of the class")
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	for _, n := range names {
		fmt.Fprintf(w, "%d\t%s\t%s\n", count[n], n, where[n])
	}
	_ = w.Flush()
}

func feedback(out io.Writer, m marked) {
	fmt.Fprintf(out, "\nFeedback for %s: %s of %s marks\n", m.pupil.ID, m.result.Marks, m.result.Total)
	for _, q := range m.result.Questions {
		fmt.Fprintf(out, "\n  %s  %s of %s\n", q.ID, q.Marks, q.Total)
		for _, line := range strings.Split(q.Understood, "\n") {
			if line != "" {
				fmt.Fprintf(out, "    read as   %s\n", line)
			}
		}
		for _, c := range q.Criteria {
			fmt.Fprintf(out, "    %-8s  %s of %s: %s\n", c.ID, c.Awarded, c.Of, c.Because)
		}
		for _, f := range q.Feedback {
			fmt.Fprintf(out, "    %s%s\n", placeText(f.Place), f.Sentence)
		}
		seen := map[string]bool{"": true}
		for _, f := range q.Findings {
			if text := evidenceText(f.Evidence); !seen[text] {
				seen[text] = true
				fmt.Fprintf(out, "    evidence  %s\n", text)
			}
		}
	}
}

// evidenceText is a proof in one line, or a point with both sides' values.
func evidenceText(e contract.Evidence) string {
	if e.Left == "" {
		return e.Text
	}
	return e.Text + ": " + e.Left + " and " + e.Right
}

func placeText(p contract.Place) string {
	switch {
	case p.ChainLine > 0:
		return fmt.Sprintf("line %d, column %d: ", p.ChainLine, p.Column)
	case p.Line > 0:
		return fmt.Sprintf("%d:%d: ", p.Line, p.Column)
	}
	return ""
}
