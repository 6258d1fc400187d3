package judge

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"runtime"
)

// Options of a run. Workers 0 means one for each core; Timings adds the time
// of each line's work, Readings how each text was understood.
type Options struct {
	Workers  int
	Timings  bool
	Readings bool
}

// maxLine bounds one line of input, in bytes.
const maxLine = 1 << 20

// ErrInput tells that some line was not valid JSON; every line was answered.
var ErrInput = errors.New("some input lines are not valid JSON")

// Run answers the lines of in on out, one reply a line, in the order of the
// lines. Empty lines are passed over. Memory: a few lines for each worker.
// Errors: ErrInput, and errors of reading and writing.
func Run(in io.Reader, out io.Writer, opt Options) error {
	if opt.Workers <= 0 {
		opt.Workers = runtime.GOMAXPROCS(0)
	}
	type job struct {
		line []byte
		done chan []byte
	}
	jobs := make(chan job, opt.Workers)
	order := make(chan job, 64*opt.Workers)
	bad := make([]bool, opt.Workers)
	finished := make(chan struct{}, opt.Workers)
	for w := range opt.Workers {
		go func() {
			for j := range jobs {
				r, err := answer(j.line, opt)
				bad[w] = bad[w] || err != nil
				text, err := encode(r)
				if err != nil {
					text, _ = encode(reply{ID: r.ID, Error: &failure{Message: err.Error()}})
				}
				j.done <- text
			}
			finished <- struct{}{}
		}()
	}
	var readErr error
	go func() {
		defer close(order)
		defer close(jobs)
		r := bufio.NewReaderSize(in, 64<<10)
		for readErr == nil {
			var text []byte
			if text, readErr = nextLine(r); len(bytes.TrimSpace(text)) > 0 {
				j := job{line: text, done: make(chan []byte, 1)}
				order <- j
				jobs <- j
			}
		}
		if readErr == io.EOF {
			readErr = nil
		}
	}()
	buffered := bufio.NewWriter(out)
	var writeErr error
	for j := range order {
		text := <-j.done
		if writeErr == nil {
			_, writeErr = buffered.Write(text)
		}
		if len(order) == 0 && writeErr == nil {
			writeErr = buffered.Flush()
		}
	}
	for range opt.Workers {
		<-finished
	}
	if writeErr == nil {
		writeErr = buffered.Flush()
	}
	if err := errors.Join(readErr, writeErr); err != nil {
		return err
	}
	for _, b := range bad {
		if b {
			return ErrInput
		}
	}
	return nil
}

// nextLine is the next line of r, at most maxLine bytes of it: a longer line
// is cut, and so is no longer valid JSON, and is answered as such.
func nextLine(r *bufio.Reader) ([]byte, error) {
	var text []byte
	for {
		part, err := r.ReadSlice('\n')
		if room := maxLine - len(text); room > 0 {
			text = append(text, part[:min(len(part), room)]...)
		}
		if err != bufio.ErrBufferFull {
			return text, err
		}
	}
}

// encode writes a reply as one line, relation signs as themselves.
func encode(r reply) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	err := e.Encode(r)
	return b.Bytes(), err
}
