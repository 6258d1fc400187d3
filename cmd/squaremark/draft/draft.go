// Package draft makes a complete rubric out of one claim, expression or
// condition: a worked model answer, examples with the marks they get, and
// further questions of the same kind. Whatever it makes is checked with the
// service's own loader before it is written; a question that the engine cannot
// settle is refused.
//
//	draft.go      from the options to the files
//	setting.go    what is asked, read and lowered
//	squares.go    a polynomial as multiples of squares plus a constant
//	chain.go      claims: the model chain
//	form.go       expressions: the square form
//	whole.go      conditions on whole numbers: the solutions
//	text.go       polynomials and lists as people write them
//	mistakes.go   likely wrong answers
//	examples.go   the marks that answers get
//	siblings.go   further questions of the same shape
//	numbers.go    the same for conditions on whole numbers
//	yaml.go       the rubric file
//	sheet.go      worksheet and solutions, as a page and as LaTeX
package draft

import (
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"

	"squaremark/algebra/source"
	"squaremark/cmd/squaremark/check"
)

// Options of a draft.
type Options struct {
	Text      string   // a claim, an expression, or a condition on whole numbers
	Kind      string   // steps, square-form or integers; "": by the text
	Variables []string // "n: integer", "p, q: positive integer"; others are real
	Given     []string
	Quiz      string // id of the quiz
	Title     string
	Siblings  int    // further questions
	Seed      uint64 // the same seed gives the same siblings
	Out       string // the rubric; "": Stdout
	Page      string // worksheet and solutions as HTML
	LaTeX     string // the same as LaTeX

	Stdout, Stderr io.Writer
}

// maxSiblings bounds the further questions of one draft.
const maxSiblings = 30

// Run makes a draft and writes what is asked for. Errors: texts that cannot be
// read, claims that are false (with a point), and what the engine cannot settle
// or the draft cannot bring to squares.
func Run(opt Options) error {
	if opt.Siblings < 0 || opt.Siblings > maxSiblings {
		return fmt.Errorf("expected at most %d siblings, found %d", maxSiblings, opt.Siblings)
	}
	s, err := newSetting(opt.Text, opt.Kind, opt.Variables, opt.Given)
	if err != nil {
		return err
	}
	first, err := s.work()
	if err != nil {
		return err
	}
	questions := []*question{first}
	more, err := siblings(first, opt.Siblings, rand.New(rand.NewPCG(opt.Seed, 0)))
	if err != nil {
		fmt.Fprintln(opt.Stderr, "note:", err)
	}
	questions = append(questions, more...)
	text, diags, err := file(opt.Quiz, opt.Title, questions)
	if err != nil {
		return err
	}
	if len(diags) > 0 {
		fmt.Fprint(opt.Stderr, source.Print(diags, func(string) string { return text }))
	}
	return opt.write(text, questions)
}

// file is the checked rubric file with these questions, and what the check
// warns of.
func file(quiz, title string, questions []*question) (string, []*source.Diag, error) {
	for i, q := range questions {
		q.id = questionID(q, i)
		if err := q.exemplify(); err != nil {
			return "", nil, err
		}
	}
	text := rubricText(quiz, title, questions)
	report := check.File("draft.yaml", []byte(text))
	if report.Rubric == nil {
		return "", nil, fmt.Errorf("the draft does not pass the check:\n%s", source.Print(report.Diagnostics, func(string) string { return text }))
	}
	return text, report.Diagnostics, nil
}

func questionID(q *question, i int) string {
	name := map[string]string{"steps": "claim", "square-form": "squares", "integers": "numbers"}[q.kind]
	return fmt.Sprintf("%s-%d", name, i+1)
}

func (opt Options) write(text string, questions []*question) error {
	var errs []error
	if opt.Out == "" {
		_, err := io.WriteString(opt.Stdout, text)
		errs = append(errs, err)
	} else {
		errs = append(errs, os.WriteFile(opt.Out, []byte(text), 0o644))
	}
	if opt.Page != "" {
		page, err := sheetPage(opt.Title, questions)
		if err == nil {
			err = os.WriteFile(opt.Page, []byte(page), 0o644)
		}
		errs = append(errs, err)
	}
	if opt.LaTeX != "" {
		errs = append(errs, os.WriteFile(opt.LaTeX, []byte(sheetLaTeX(opt.Title, questions)), 0o644))
	}
	return errors.Join(errs...)
}
