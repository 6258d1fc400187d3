package judge

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"squaremark/algebra"
	"squaremark/algebra/budget"
)

// ErrRecheck tells that some stored evidence does not hold.
var ErrRecheck = errors.New("some stored evidence does not hold")

// Recheck reads stored replies, one a line, and runs the kernel on the
// evidence of each. For every line with evidence to check it prints one with
// the number of records and "holds", or what is wrong.
func Recheck(in io.Reader, out io.Writer) error {
	s := bufio.NewScanner(in)
	s.Buffer(make([]byte, 64<<10), 8*maxLine)
	w := bufio.NewWriter(out)
	enc := json.NewEncoder(w)
	bad := false
	for line := 1; s.Scan(); line++ {
		var stored struct {
			ID       json.RawMessage `json:"id"`
			Evidence *struct {
				Data json.RawMessage `json:"data"`
			} `json:"evidence"`
		}
		if err := json.Unmarshal(s.Bytes(), &stored); err != nil {
			return fmt.Errorf("line %d: %w", line, err)
		}
		if stored.Evidence == nil || len(stored.Evidence.Data) == 0 {
			continue
		}
		result := struct {
			ID      json.RawMessage `json:"id,omitempty"`
			Line    int             `json:"line"`
			Records int             `json:"records"`
			Holds   bool            `json:"holds"`
			Error   string          `json:"error,omitempty"`
		}{ID: stored.ID, Line: line}
		var err error
		if result.Records, err = algebra.Recheck(stored.Evidence.Data, budget.Default()); err != nil {
			result.Error, bad = err.Error(), true
		}
		result.Holds = err == nil
		if err := enc.Encode(result); err != nil {
			return err
		}
	}
	if err := errors.Join(s.Err(), w.Flush()); err != nil {
		return err
	}
	if bad {
		return ErrRecheck
	}
	return nil
}
