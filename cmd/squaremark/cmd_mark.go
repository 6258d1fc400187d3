package main

import (
	"os"
	"time"

	"github.com/mattn/go-isatty"

	"squaremark/cmd/squaremark/marking"
)

type markCommand struct {
	Rubric  string   `arg:"" help:"Rubric file." placeholder:"RUBRIC"`
	Answers string   `arg:"" help:"Answers: a table as a spreadsheet exports it (first column the id, then one column a question), or JSON Lines." placeholder:"ANSWERS"`
	Out     []string `help:"Results: JSON Lines where the name ends in .jsonl, else CSV. May be given more than once; without it, CSV on standard output." sep:"none" placeholder:"FILE"`
	Todo    string   `help:"List of the answers that a person must look at." placeholder:"FILE"`
	Against string   `help:"Earlier results (.jsonl): tell whose marks change and why." placeholder:"FILE"`
	Changes string   `help:"Where that goes; standard output where left out." placeholder:"FILE"`
	Report  string   `help:"Class report as one page (HTML)." placeholder:"FILE"`
	Workers int      `help:"Answer sets marked at the same time; one for each core where left out." placeholder:"N"`
}

// Run marks the answers of a class.
func (c *markCommand) Run() error {
	return marking.Run(marking.Options{
		Rubric: c.Rubric, Answers: c.Answers, Out: c.Out, Todo: c.Todo, Against: c.Against, Changes: c.Changes,
		Report: c.Report, Workers: c.Workers, Bar: isatty.IsTerminal(os.Stderr.Fd()), Now: time.Now(),
		Stdout: os.Stdout, Stderr: os.Stderr,
	})
}
