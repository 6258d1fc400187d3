package api

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"time"

	"github.com/labstack/echo/v4"

	"squaremark/api/contract"
)

// checkedBody is a request body that was read, decoded and validated. The generated code takes the value as it is, so
// nothing is decoded twice.
type checkedBody struct {
	io.ReadCloser
	value any
}

// ValidatedValue is what the contract's check saw.
func (b checkedBody) ValidatedValue() any { return b.value }

// takeBody reads the body within its bounds and checks it.
func (s *Server) takeBody(c echo.Context, op *operation) error {
	text, p := s.readBody(c)
	if p != nil {
		return p
	}
	value, p := decodeStrict(text, s.limits.Depth)
	if p != nil {
		return p
	}
	if faults := validate(op.body, value); len(faults) > 0 {
		return invalid(faults...)
	}
	c.Request().Body = checkedBody{ReadCloser: http.NoBody, value: value}
	return nil
}

// readBody refuses by the stated length before it reads, and stops at the limit. It waits for no longer than the limit
// says, whatever the client does.
func (s *Server) readBody(c echo.Context) ([]byte, *Problem) {
	limit := s.limits.BodyBytes
	request := c.Request()
	tooLarge := func() *Problem {
		return problem(contract.ProblemTypeBodyTooLarge, fmt.Sprintf("At most %d octets are read.", limit)).with("Connection", "close")
	}
	if request.ContentLength > limit {
		return nil, tooLarge()
	}
	connection := http.NewResponseController(c.Response())
	// Not every connection can have deadlines (recorders in tests); the server's own still hold.
	deadlines := connection.SetReadDeadline(time.Now().Add(s.limits.ReadBody)) == nil
	text, err := io.ReadAll(http.MaxBytesReader(c.Response(), request.Body, limit))
	exchangeOf(request.Context()).octets = len(text)
	var size *http.MaxBytesError
	switch {
	case errors.As(err, &size):
		return nil, tooLarge()
	case errors.Is(err, os.ErrDeadlineExceeded):
		return nil, problem(contract.ProblemTypeBodyTooSlow, fmt.Sprintf("Send the body within %s.", s.limits.ReadBody)).with("Connection", "close")
	case err != nil:
		return nil, malformedJSON("the body broke off", 1, 1)
	}
	if deadlines && connection.SetReadDeadline(time.Time{}) != nil {
		return nil, internalError("deadline")
	}
	return text, nil
}
