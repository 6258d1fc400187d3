package main

import (
	"context"
	"os"
	"os/signal"
	"time"

	"squaremark/cmd/squaremark/check"
)

type checkCommand struct {
	Files   []string `arg:"" help:"Rubric files." placeholder:"FILE"`
	Verbose bool     `help:"Say a word about files without faults too." short:"v"`
	Watch   bool     `help:"Go on, and check a file again whenever it is saved."`
}

// lookEvery is how often a watched file is looked at.
const lookEvery = 300 * time.Millisecond

// Run reads rubric files with the service's own loader and prints what is
// wrong with them.
func (c *checkCommand) Run() error {
	if c.Watch {
		ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
		defer stop()
		return check.Watch(ctx, os.Stdout, c.Files, lookEvery)
	}
	return check.Run(os.Stdout, c.Files, c.Verbose)
}
