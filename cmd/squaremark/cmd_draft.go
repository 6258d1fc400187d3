package main

import (
	"os"

	"squaremark/cmd/squaremark/draft"
)

type draftCommand struct {
	Claim     string   `arg:"" help:"A claim (x^2 + 50 > 14x), an expression (x^2 - 14x + 60), or a condition on whole numbers." placeholder:"CLAIM"`
	Kind      string   `help:"steps, square-form or integers; without it, as the text suggests." placeholder:"KIND"`
	Variables []string `help:"Ranges of variables, such as \"p, q: positive integer\"; others are real." sep:"none" placeholder:"TEXT"`
	Given     []string `help:"What may be assumed." sep:"none" placeholder:"CONDITION"`
	Quiz      string   `help:"Id of the quiz." default:"draft" placeholder:"ID"`
	Title     string   `help:"Title of the quiz." placeholder:"TEXT"`
	Siblings  int      `help:"Further questions of the same kind with other numbers." placeholder:"N"`
	Seed      uint64   `help:"The same seed gives the same siblings." placeholder:"NUMBER"`
	Out       string   `help:"Rubric file; standard output where left out." placeholder:"FILE"`
	Page      string   `help:"Worksheet with solutions as a page (HTML with MathML)." placeholder:"FILE"`
	LaTeX     string   `name:"latex" help:"The same as LaTeX." placeholder:"FILE"`
}

// Run drafts a rubric.
func (c *draftCommand) Run() error {
	return draft.Run(draft.Options{
		Text: c.Claim, Kind: c.Kind, Variables: c.Variables, Given: c.Given, Quiz: c.Quiz, Title: c.Title,
		Siblings: c.Siblings, Seed: c.Seed, Out: c.Out, Page: c.Page, LaTeX: c.LaTeX, Stdout: os.Stdout, Stderr: os.Stderr,
	})
}
