package marking

import (
	"fmt"
	"io"
	"math/big"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"squaremark/algebra"
	"squaremark/grader"
)

// Grade marks entries on several cores, by default on all; the records are in
// the order of the entries. An answer that was marked before is not marked
// again: the mark of an answer depends on nothing but the answer. progress,
// where given, is told how many are done, from one goroutine at a time.
func Grade(marker *grader.Marker, entries []Entry, workers int, progress func(done int)) []Record {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	records := make([]Record, len(entries))
	desk := &desk{marker: marker, done: map[task]Question{}}
	var next, done atomic.Int64
	var telling sync.Mutex
	var all sync.WaitGroup
	for range min(workers, len(entries)) {
		all.Go(func() {
			for i := next.Add(1) - 1; i < int64(len(entries)); i = next.Add(1) - 1 {
				records[i] = desk.mark(entries[i])
				if n := done.Add(1); progress != nil {
					telling.Lock()
					progress(int(n))
					telling.Unlock()
				}
			}
		})
	}
	all.Wait()
	return records
}

// desk marks answers, each different one once.
type desk struct {
	marker *grader.Marker
	mu     sync.RWMutex
	done   map[task]Question
}

// task is an answer to a question.
type task struct {
	question int
	answer   string
}

// maxKept bounds how many marked answers are kept for the next pupil.
const maxKept = 100_000

func (d *desk) mark(e Entry) Record {
	r := d.marker.Rubric()
	out := Record{
		Pupil: e.Pupil, Quiz: r.Quiz.Value, RubricDigest: r.Digest, EngineVersion: algebra.EngineVersion,
		Marks: Exact{new(big.Rat)}, Total: Exact{r.Total},
	}
	for _, one := range d.answers(e) {
		out.Questions = append(out.Questions, one)
		out.Marks.Add(out.Marks.Rat, one.Marks.Rat)
		out.NeedsPerson = out.NeedsPerson || one.NeedsPerson
	}
	return out
}

// answers marks the answers of one sheet: those that were not marked before,
// all at once.
func (d *desk) answers(e Entry) []Question {
	questions := d.marker.Rubric().Questions
	list, known := make([]Question, len(questions)), make([]bool, len(questions))
	sub := grader.Submission{Quiz: d.marker.Rubric().Quiz.Value, Answers: map[string]grader.Answer{}}
	d.mu.RLock()
	for i, q := range questions {
		answer, given := e.Answers[q.ID.Value]
		list[i], known[i] = d.done[task{i, spelled(answer)}]
		if given && !known[i] {
			sub.Answers[q.ID.Value] = answer
		}
	}
	d.mu.RUnlock()
	if !slices.Contains(known, false) {
		return list
	}
	result := d.marker.Grade(sub)
	d.mu.Lock()
	defer d.mu.Unlock()
	for i, q := range questions {
		if known[i] {
			continue
		}
		answer := e.Answers[q.ID.Value]
		list[i] = asPlain(result.Questions[i], answer)
		if len(d.done) < maxKept {
			d.done[task{i, spelled(answer)}] = list[i]
		}
	}
	return list
}

// spelled tells answers apart: lines with their links, and the text.
func spelled(a grader.Answer) string {
	if len(a.Lines) == 0 {
		return a.Text
	}
	parts := []string{a.Text}
	for _, l := range a.Lines {
		parts = append(parts, l.Link, l.Text)
	}
	return strings.Join(parts, "\x00")
}

const (
	barWidth = 30
	barEvery = 100 * time.Millisecond
)

// bar draws progress into one line of a terminal and clears it at the end.
func bar(out io.Writer, total int) func(done int) {
	var last time.Time
	shown := 0
	return func(done int) {
		if done < shown || done < total && time.Since(last) < barEvery {
			return
		}
		last, shown = time.Now(), done
		full := barWidth * done / total
		text := fmt.Sprintf("%s%s %d of %d answer sets", strings.Repeat("█", full), strings.Repeat("░", barWidth-full), done, total)
		if done == total {
			text = strings.Repeat(" ", len([]rune(text))) + "\r"
		}
		fmt.Fprint(out, "\r"+text)
	}
}
