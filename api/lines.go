package api

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"

	"squaremark/api/contract"
)

// lines splits a stream into lines of bounded length.
type lines struct {
	from   io.Reader
	limit  int64
	buffer []byte
	ended  bool
}

func newLines(from io.Reader, limit int64) *lines { return &lines{from: from, limit: limit} }

// next is the next line without its line feed; nil without a problem after the last one. A line that is too long is
// passed over and told about, and so is one that does not come in time.
func (l *lines) next() ([]byte, *Problem) {
	tooLong := false
	for {
		if at := bytes.IndexByte(l.buffer, '\n'); at >= 0 {
			line := l.buffer[:at:at]
			l.buffer = l.buffer[at+1:]
			return l.whole(line, tooLong)
		}
		if l.ended {
			line := l.buffer
			l.buffer = nil
			if len(line) == 0 && !tooLong {
				return nil, nil
			}
			return l.whole(line, tooLong)
		}
		if int64(len(l.buffer)) > l.limit {
			tooLong, l.buffer = true, nil
		}
		if p := l.more(); p != nil {
			return nil, p
		}
	}
}

func (l *lines) whole(line []byte, tooLong bool) ([]byte, *Problem) {
	if tooLong || int64(len(line)) > l.limit {
		return nil, problem(contract.ProblemTypeBodyTooLarge, fmt.Sprintf("At most %d octets are read of one line.", l.limit))
	}
	return append([]byte{}, line...), nil
}

// more reads on. A stream that breaks off ends like any other: an incomplete line is no JSON.
func (l *lines) more() *Problem {
	piece := make([]byte, 32<<10)
	n, err := l.from.Read(piece)
	l.buffer = append(l.buffer, piece[:n]...)
	if errors.Is(err, os.ErrDeadlineExceeded) {
		return problem(contract.ProblemTypeBodyTooSlow, "The next line did not arrive in time.")
	}
	l.ended = err != nil
	return nil
}
