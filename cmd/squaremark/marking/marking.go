// Package marking marks the answers of a whole class, kept in a file, by one
// rubric, on this machine.
//
//	marking.go   from the files to the files
//	table.go     answers as a spreadsheet exports them
//	decode.go    the bytes and separators of such a file
//	objects.go   answers as JSON Lines
//	grade.go     all cores, results in the order of the answers
//	record.go    a result as plain data
//	write.go     results as CSV and JSON Lines
//	todo.go      what a person must look at
//	compare.go   earlier results against new ones
//	changes.go   the same as text
//	stats.go     figures of the class
//	slips.go     named slips of the class
//	report.go    the class report as one page
package marking

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"squaremark/algebra/source"
	"squaremark/grader"
	"squaremark/grader/rubric"
)

// ErrFaulty tells that the rubric or the answers cannot be used; what is wrong
// was printed.
var ErrFaulty = errors.New("nothing was marked")

// Options of a run. Files that are not named are not written.
type Options struct {
	Rubric, Answers string
	Out             []string // results: JSON Lines where the name ends in .jsonl, else CSV; none: CSV on Stdout
	Todo            string   // work for a person
	Against         string   // earlier results as JSON Lines
	Changes         string   // whose marks change; where not named, on Stdout or, beside results there, on Stderr
	Report          string   // the class report
	Workers         int      // 0: one for each core
	Bar             bool     // show progress on Stderr
	Now             time.Time
	Stdout, Stderr  io.Writer
}

// Run marks the answers and writes what is asked for. Every input is read
// before anything is marked, and everything is marked before anything is
// written. Errors: ErrFaulty, and those of the file system.
func Run(opt Options) error {
	marker, err := opt.marker()
	if err != nil {
		return err
	}
	data, err := os.ReadFile(opt.Answers)
	if err != nil {
		return err
	}
	entries, notes, err := Read(opt.Answers, data, questionIDs(marker.Rubric()))
	for _, n := range notes {
		fmt.Fprintln(opt.Stderr, n)
	}
	if err != nil {
		fmt.Fprintln(opt.Stderr, err)
		return ErrFaulty
	}
	var before []Record
	if opt.Against != "" {
		if before, err = readRecords(opt.Against); err != nil {
			return err
		}
	}
	start := time.Now()
	var progress func(done int)
	if opt.Bar {
		progress = bar(opt.Stderr, len(entries))
	}
	records := Grade(marker, entries, opt.Workers, progress)
	if err := opt.write(marker.Rubric(), entries, records, before); err != nil {
		return err
	}
	fmt.Fprintln(opt.Stderr, summary(records, time.Since(start)))
	return nil
}

// marker loads the rubric and tells what is wrong with it.
func (opt Options) marker() (*grader.Marker, error) {
	text, err := os.ReadFile(opt.Rubric)
	if err != nil {
		return nil, err
	}
	r, diags := rubric.Load(opt.Rubric, text)
	var marker *grader.Marker
	if r != nil {
		var more []*source.Diag
		marker, more = grader.Compile(r)
		diags = append(diags, more...)
	}
	fmt.Fprint(opt.Stderr, source.Print(diags, func(string) string { return string(text) }))
	if marker == nil {
		return nil, ErrFaulty
	}
	return marker, nil
}

func questionIDs(r *rubric.Rubric) []string {
	ids := make([]string, len(r.Questions))
	for i, q := range r.Questions {
		ids[i] = q.ID.Value
	}
	return ids
}

// write writes every file that is asked for.
func (opt Options) write(r *rubric.Rubric, entries []Entry, records, before []Record) error {
	if len(opt.Out) == 0 {
		if err := writeCSV(opt.Stdout, records); err != nil {
			return err
		}
	}
	for _, name := range opt.Out {
		write := writeCSV
		if ext := strings.ToLower(filepath.Ext(name)); ext == ".jsonl" || ext == ".ndjson" {
			write = writeLines
		}
		if err := toFile(name, func(w io.Writer) error { return write(w, records) }); err != nil {
			return err
		}
	}
	if opt.Todo != "" {
		if err := toFile(opt.Todo, func(w io.Writer) error { return writeTodo(w, r, records) }); err != nil {
			return err
		}
	}
	if opt.Against != "" {
		text := changesText(Compare(before, records))
		switch {
		case opt.Changes != "":
			if err := toFile(opt.Changes, func(w io.Writer) error { _, err := io.WriteString(w, text); return err }); err != nil {
				return err
			}
		case len(opt.Out) > 0:
			fmt.Fprint(opt.Stdout, text)
		default:
			fmt.Fprint(opt.Stderr, text)
		}
	}
	if opt.Report != "" {
		return toFile(opt.Report, func(w io.Writer) error { return WriteReport(w, r, records, opt.Now) })
	}
	return nil
}

// toFile writes a file as a whole or not at all, for its owner only: it tells
// about pupils.
func toFile(name string, write func(io.Writer) error) error {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(name), ".squaremark-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	if _, err := f.Write(b.Bytes()); err != nil {
		return errors.Join(err, f.Close())
	}
	if err := f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), name)
}

func summary(records []Record, took time.Duration) string {
	sets, answers := 0, 0
	for _, r := range records {
		if r.NeedsPerson {
			sets++
		}
		for _, q := range r.Questions {
			if q.NeedsPerson {
				answers++
			}
		}
	}
	text := fmt.Sprintf("%d answer sets marked in %s; mean %s of %s marks", len(records), took.Round(time.Millisecond), mean(records).FloatString(2), markText(records[0].Total))
	if answers > 0 {
		text += fmt.Sprintf("; a person must look at %d answers in %d of the sets", answers, sets)
	}
	return text
}
