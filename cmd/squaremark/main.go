// Command squaremark marks school algebra around one idea: the square of a
// real number is never negative.
package main

import (
	"context"
	"errors"
	"fmt"
	"os"

	"github.com/alecthomas/kong"
	"go.uber.org/zap"

	"squaremark/api/platform"
	"squaremark/cmd/squaremark/demo"
	"squaremark/cmd/squaremark/judge"
	"squaremark/cmd/squaremark/service"
)

type commands struct {
	Demo    demoCommand    `cmd:"" help:"Run the whole loop on this machine with an invented class, and print the gradebook."`
	Serve   serveCommand   `cmd:"" help:"Serve the JSON API."`
	Judge   judgeCommand   `cmd:"" help:"Answer single questions, one JSON object a line, from standard input."`
	Check   checkCommand   `cmd:"" help:"Check rubric files with the service's own loader."`
	Mark    markCommand    `cmd:"" help:"Mark the answers of a class, kept in a file, by one rubric."`
	Draft   draftCommand   `cmd:"" help:"Draft a rubric from a claim, an expression or a condition."`
	Key     keyCommand     `cmd:"" help:"Make a signing key for a platform registration."`
	Version versionCommand `cmd:"" help:"Print the version, the commit and the engine's version."`
}

type demoCommand struct {
	Log string `help:"Level of the service's log (debug, info, warn, error); none where left out." placeholder:"LEVEL"`
}

// Run runs the demo.
func (c *demoCommand) Run() error {
	log := zap.NewNop()
	if c.Log != "" {
		var err error
		if log, err = service.Logger(c.Log); err != nil {
			return err
		}
	}
	return demo.Run(context.Background(), os.Stdout, log)
}

type judgeCommand struct {
	Workers  int    `help:"Lines worked on at the same time; one for each core where left out." placeholder:"N"`
	Timings  bool   `help:"Add the time of each line's work, in microseconds."`
	Readings bool   `help:"Add how each text was understood, as plain text, LaTeX and MathML."`
	Recheck  string `help:"Instead: run the kernel again on the evidence in a file of replies." type:"existingfile" placeholder:"FILE"`
}

// Run answers standard input on standard output.
func (c *judgeCommand) Run() error {
	if c.Recheck != "" {
		f, err := os.Open(c.Recheck)
		if err != nil {
			return err
		}
		defer f.Close()
		return judge.Recheck(f, os.Stdout)
	}
	return judge.Run(os.Stdin, os.Stdout, judge.Options{Workers: c.Workers, Timings: c.Timings, Readings: c.Readings})
}

type keyCommand struct {
	File string `arg:"" help:"Where the PEM file goes; it must not exist." type:"path"`
	Bits int    `help:"Size of the RSA key." default:"3072"`
}

// Run writes a new private key that only its owner may read.
func (c *keyCommand) Run() error {
	key, err := platform.GenerateSigningKey(c.Bits)
	if err != nil {
		return err
	}
	text, err := key.PEM()
	if err != nil {
		return err
	}
	f, err := os.OpenFile(c.File, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	if _, err := f.Write(text); err != nil {
		_ = f.Close()
		return err
	}
	return f.Close()
}

func main() {
	var c commands
	k := kong.Parse(&c, kong.Name("squaremark"), kong.Description("Exact marking of school algebra around one idea: the square of a real number is never negative."), kong.UsageOnError())
	err := k.Run()
	if errors.Is(err, judge.ErrInput) {
		fmt.Fprintln(os.Stderr, "squaremark:", err)
		os.Exit(2)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "squaremark:", err)
		os.Exit(1)
	}
}
