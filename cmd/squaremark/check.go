package main

import (
	"errors"
	"fmt"
	"os"

	"squaremark/algebra/source"
	"squaremark/grader"
	"squaremark/grader/rubric"
)

type checkCommand struct {
	Files []string `arg:"" help:"Rubric files." type:"existingfile"`
}

// errRubric tells that a file has errors; they were printed.
var errRubric = errors.New("some rubric files cannot be used")

// Run reads rubric files with the service's own loader and prints what is
// wrong with them; nothing where nothing is.
func (c *checkCommand) Run() error {
	bad := false
	for _, name := range c.Files {
		text, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		r, diags := rubric.Load(name, text)
		if r != nil {
			marker, more := grader.Compile(r)
			diags = append(diags, more...)
			bad = bad || marker == nil
		} else {
			bad = true
		}
		fmt.Print(source.Print(diags, func(string) string { return string(text) }))
	}
	if bad {
		return errRubric
	}
	return nil
}
