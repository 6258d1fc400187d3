package api

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"runtime/debug"
	"time"

	"github.com/labstack/echo/v4"
	"go.uber.org/zap"

	"squaremark/api/contract"
	"squaremark/api/platform"
)

// exchange is what is known about one request and its answer. Only what is listed in record goes to the log.
type exchange struct {
	id      string // 32 random hex digits
	trace   trace
	started time.Time
	route   string // the pattern, never the address
	caller  *platform.Caller
	partner *partner
	bearer  http.Header // holds the token that was accepted; never logged
	outcome string      // "ok", or the name of the problem
	because string      // a code of a closed set
	octets  int         // of the body
}

type exchangeKey struct{}

func exchangeOf(ctx context.Context) *exchange {
	ex, _ := ctx.Value(exchangeKey{}).(*exchange)
	return ex
}

// instance names the exchange in a problem. Source: RFC 9457, section 3.1.5; RFC 9562, section 5.4.
func (ex *exchange) instance() string {
	return fmt.Sprintf("urn:uuid:%s-%s-4%s-8%s-%s", ex.id[:8], ex.id[8:12], ex.id[13:16], ex.id[17:20], ex.id[20:])
}

// observe is the outermost layer: ids, the header fields of every answer, panics and errors as problems, and one line
// in the log.
func (s *Server) observe(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		request := c.Request()
		ex := &exchange{
			id: randomHex(16), trace: continueTrace(request.Header.Values("Traceparent")),
			started: time.Now(), route: s.operations.pattern(c.Path()), outcome: "ok",
		}
		ctx := platform.WithTrace(request.Context(), platform.Trace{ID: ex.trace.id, Sampled: ex.trace.sampled})
		c.SetRequest(request.WithContext(context.WithValue(ctx, exchangeKey{}, ex)))
		s.observer.RequestBegan(ex.route)
		header := c.Response().Header()
		header.Set("X-Request-Id", ex.id)
		header.Set("Cache-Control", "no-store")
		header.Set("X-Content-Type-Options", "nosniff")
		if err := s.guarded(next, c); err != nil {
			s.fail(err, c)
		}
		s.record(ex, c)
		return nil
	}
}

// guarded turns a panic into an error. The panic's value is not looked at: it may hold a pupil's text.
func (s *Server) guarded(next echo.HandlerFunc, c echo.Context) (err error) {
	defer func() {
		if value := recover(); value != nil {
			err = s.panicked(exchangeOf(c.Request().Context()), value)
		}
	}()
	return next(c)
}

// panicked tells the log where it happened. Called while the panic is being recovered.
func (s *Server) panicked(ex *exchange, value any) *Problem {
	s.log.Error("panic", zap.String("request_id", ex.id),
		zap.String("type", fmt.Sprintf("%T", value)), zap.ByteString("stack", debug.Stack()))
	return internalError("panic")
}

// fail writes a problem. Everything that is not one already becomes one.
func (s *Server) fail(err error, c echo.Context) {
	ex := exchangeOf(c.Request().Context())
	p := s.problemOf(err, c)
	ex.outcome, ex.because = p.name(), p.Because
	if c.Response().Committed {
		return
	}
	header := c.Response().Header()
	header.Set("Cache-Control", "no-store")
	for name, values := range p.Header {
		header[name] = values
	}
	if err := writeJSON(c.Response(), p.info().Status, "application/problem+json", p.body(ex.instance())); err != nil {
		ex.because = "write"
	}
}

func (s *Server) problemOf(err error, c echo.Context) *Problem {
	var p *Problem
	var routing *echo.HTTPError
	switch {
	case errors.As(err, &p):
		return p
	case errors.As(err, &routing) && routing.Code == http.StatusNotFound:
		return problem(contract.ProblemTypeNotFound, "openapi.yaml lists the addresses.")
	case errors.As(err, &routing) && routing.Code == http.StatusMethodNotAllowed:
		p := problem(contract.ProblemTypeMethodNotAllowed, "openapi.yaml lists the methods.")
		if allow, ok := c.Get(echo.ContextKeyHeaderAllow).(string); ok {
			p = p.with("Allow", withoutOptions(allow))
		}
		return p
	case errors.As(err, &routing) && routing.Code == http.StatusBadRequest:
		return problem(contract.ProblemTypeMalformedRequest, "A header field or a part of the address cannot be read.")
	}
	s.log.Error("unexpected fault", zap.String("request_id", exchangeOf(c.Request().Context()).id),
		zap.String("type", fmt.Sprintf("%T", err)))
	return internalError("fault")
}

// record writes the one line about an exchange, and tells the observer.
func (s *Server) record(ex *exchange, c echo.Context) {
	end := RequestEnd{
		Method: knownMethod(c.Request().Method), Route: ex.route, Status: c.Response().Status,
		Outcome: ex.outcome, Because: ex.because, Took: time.Since(ex.started),
	}
	fields := []zap.Field{
		zap.String("request_id", ex.id),
		zap.String("trace_id", ex.trace.id),
		zap.String("span_id", ex.trace.span),
		zap.String("parent_id", ex.trace.parent),
		zap.String("method", end.Method),
		zap.String("route", end.Route),
		zap.Int("status", end.Status),
		zap.String("outcome", end.Outcome),
		zap.String("because", end.Because),
		zap.Int("request_bytes", ex.octets),
		zap.Int64("response_bytes", c.Response().Size),
		zap.Duration("took", end.Took),
	}
	if ex.partner != nil {
		end.Platform = ex.partner.registration.Issuer
		fields = append(fields, zap.String("platform", end.Platform))
	}
	s.observer.RequestEnded(end)
	if end.Status >= http.StatusInternalServerError {
		s.log.Warn("request", fields...)
		return
	}
	s.log.Info("request", fields...)
}

// knownMethod keeps texts of the caller's own making out of the log.
func knownMethod(method string) string {
	switch method {
	case http.MethodGet, http.MethodHead, http.MethodPost, http.MethodPut, http.MethodPatch, http.MethodDelete,
		http.MethodConnect, http.MethodOptions, http.MethodTrace:
		return method
	}
	return "other"
}
