// Package check tells a teacher what is wrong with rubric files: what the
// service's own loader says, and what only shows when the engine is asked
// again with something left out or something wrong put in.
//
//	check.go    files, what is printed
//	advice.go   warnings: givens, claims, wrong answers with full marks
//	wrong.go    wrong answers made from the model answer
//	watch.go    check again whenever a file is saved
package check

import (
	"errors"
	"fmt"
	"io"
	"math/big"
	"os"
	"time"

	"squaremark/algebra/source"
	"squaremark/grader"
	"squaremark/grader/rubric"
)

// ErrFaulty tells that a file has errors; they were printed.
var ErrFaulty = errors.New("some rubric files cannot be used")

// Report is what a check of one file found. Rubric is nil where the file has
// errors.
type Report struct {
	File        string
	Text        string
	Rubric      *rubric.Rubric
	Diagnostics []*source.Diag
	Took        time.Duration
}

// File checks the text of one rubric file. Its examples are run; warnings come
// with a usable rubric. Cost: that of marking the model answers, the examples,
// and up to four wrong answers for each question, and of proving each claim
// once more for every given.
func File(name string, text []byte) Report {
	start := time.Now()
	out := Report{File: name, Text: string(text)}
	r, diags := rubric.Load(name, text)
	out.Diagnostics = diags
	if r != nil {
		marker, more := grader.Compile(r)
		out.Diagnostics = append(out.Diagnostics, more...)
		if marker != nil {
			out.Rubric = r
			out.Diagnostics = append(out.Diagnostics, advise(r, marker)...)
		}
	}
	out.Took = time.Since(start)
	return out
}

// Run checks files and prints what is wrong with them; nothing where nothing
// is, unless verbose asks for one line about each file. Errors: ErrFaulty, and
// files that cannot be read.
func Run(out io.Writer, files []string, verbose bool) error {
	var bad error
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		report := File(name, text)
		report.print(out, verbose)
		if report.Rubric == nil {
			bad = ErrFaulty
		}
	}
	return bad
}

func (r Report) print(out io.Writer, verbose bool) {
	fmt.Fprint(out, source.Print(r.Diagnostics, func(string) string { return r.Text }))
	switch {
	case r.Rubric != nil && verbose:
		fmt.Fprintf(out, "%s: %s (%s)\n", r.File, summary(r.Rubric), r.Took.Round(100*time.Microsecond))
	case verbose:
		fmt.Fprintf(out, "%s: cannot be used (%s)\n", r.File, r.Took.Round(100*time.Microsecond))
	}
}

func summary(r *rubric.Rubric) string {
	examples := 0
	for _, q := range r.Questions {
		examples += len(q.Examples)
	}
	return fmt.Sprintf("%s, %s, %s", count(len(r.Questions), "question"), count(examples, "example"), marks(r.Total))
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func marks(m *big.Rat) string {
	if m.Cmp(big.NewRat(1, 1)) == 0 {
		return "1 mark"
	}
	return rubric.MarksText(m) + " marks"
}
