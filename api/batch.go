package api

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"sync/atomic"
	"time"

	"github.com/oapi-codegen/runtime"
	"go.uber.org/zap"

	"squaremark/api/contract"
)

// MarkBatch marks submissions that come as JSON Lines and replies line by line.
//
// Cost: at most Limits.BatchWindow lines are in hand at the same time; the next one is read when the oldest reply went
// out, so memory is bounded and a caller who does not read is not read from.
func (s *Server) MarkBatch(ctx context.Context, request contract.MarkBatchRequestObject) (contract.MarkBatchResponseObject, error) {
	return &batch{
		server: s, ctx: ctx, ex: exchangeOf(ctx), body: request.Body,
		replies: make(chan chan contract.BatchReply, s.limits.BatchWindow), last: map[string]chan struct{}{},
	}, nil
}

// batch is one stream of submissions and replies.
type batch struct {
	server  *Server
	ctx     context.Context
	ex      *exchange
	body    io.Reader
	replies chan chan contract.BatchReply // one for each line, in order
	last    map[string]chan struct{}      // by pupil and target: closed when the last line for them is done
	broken  atomic.Bool                   // the caller takes no more replies
	failed  atomic.Int64
}

// VisitMarkBatchResponse implements the generated interface: this goroutine reads, another one writes, and each line
// in hand has its own.
func (b *batch) VisitMarkBatchResponse(w http.ResponseWriter) error {
	s := b.server
	if !s.batches.take(b.ex.caller.Issuer) {
		return overloaded("batches")
	}
	defer s.batches.leave(b.ex.caller.Issuer)
	connection := http.NewResponseController(w)
	// HTTP/1.1 needs to be told that reading goes on after the first reply; others do it anyway or cannot (recorders).
	_ = connection.EnableFullDuplex()
	w.Header().Set("Content-Type", "application/jsonl")
	w.WriteHeader(http.StatusOK)
	_ = connection.Flush()
	written := make(chan struct{})
	go func() {
		defer close(written)
		b.write(w, connection)
	}()
	lines := 0
	defer func() {
		close(b.replies)
		<-written
		s.log.Info("batch", zap.String("request_id", b.ex.id), zap.Int("lines", lines),
			zap.Int64("problems", b.failed.Load()), zap.Bool("broken", b.broken.Load()))
	}()
	ended := make(chan struct{})
	defer close(ended)
	go func() {
		select {
		case <-s.stop:
			_ = connection.SetReadDeadline(time.Now()) // wakes the reader
		case <-ended:
		}
	}()
	in := newLines(b.body, s.limits.BodyBytes)
	for end := false; !end && !b.broken.Load(); {
		_ = connection.SetReadDeadline(b.patience())
		if s.stopping.Load() {
			_ = connection.SetReadDeadline(time.Now()) // lines that are here already are still answered
		}
		text, p := in.next()
		if text == nil && p == nil {
			break
		}
		lines++
		b.ex.octets += len(text)
		reply := make(chan contract.BatchReply, 1)
		b.replies <- reply
		switch {
		case p == nil:
			p, end = b.bounds(lines)
		case p.Type == contract.ProblemTypeBodyTooSlow && s.stopping.Load():
			p, end = overloaded("stopping"), true
		case p.Type == contract.ProblemTypeBodyTooSlow:
			end = true
		}
		b.take(lines, text, p, reply)
	}
	return nil
}

// patience is how long the next line is waited for.
func (b *batch) patience() time.Time {
	wait, end := time.Now().Add(b.server.limits.BatchPause), b.ex.started.Add(b.server.limits.Batch)
	if end.Before(wait) {
		return end
	}
	return wait
}

// bounds tells that a line is one too many, or comes too late: it is the last one with a reply.
func (b *batch) bounds(line int) (p *Problem, end bool) {
	switch limit := b.server.limits.BatchLines; {
	case line > limit:
		return problem(contract.ProblemTypeBodyTooLarge, fmt.Sprintf("At most %d lines are read. Send the rest as another batch.", limit)), true
	case b.server.stopping.Load():
		return overloaded("stopping"), true
	}
	return nil, false
}

// take sees to one line. What can be decided at once is; marking and delivery go on in the background.
func (b *batch) take(line int, text []byte, p *Problem, reply chan<- contract.BatchReply) {
	ex := &exchange{id: b.ex.id, trace: b.ex.trace, started: time.Now(), route: b.ex.route}
	var w *work
	if p == nil {
		w, p = b.read(ex, text)
	}
	if p != nil {
		reply <- b.reply(line, contract.MarkedSubmission{}, p)
		return
	}
	key := fmt.Sprintf("%q %+v", w.submission.Pupil, w.submission.Target)
	before, done := b.last[key], make(chan struct{})
	b.last[key] = done
	go func() {
		defer close(done)
		if before != nil {
			<-before
		}
		marked, p := b.carryOut(ex, w)
		reply <- b.reply(line, marked, p)
	}()
}

// read decides on one line as the route for one submission would: token, rate, JSON, contract, permission, rubric.
// A panic costs one line.
func (b *batch) read(ex *exchange, text []byte) (w *work, p *Problem) {
	s := b.server
	defer func() {
		if value := recover(); value != nil {
			p = s.panicked(ex, value)
		}
	}()
	if p := s.authenticate(b.ctx, ex, b.ex.bearer, []string{"submit"}); p != nil {
		return nil, p
	}
	if p := b.pace(ex); p != nil {
		return nil, p
	}
	value, p := decodeStrict(text, s.limits.Depth)
	if p != nil {
		return nil, p
	}
	if faults := validate(s.operations[operationKey(http.MethodPost, "/v1/submissions")].body, value); len(faults) > 0 {
		return nil, invalid(faults...)
	}
	var submission contract.Submission
	if err := runtime.BindJSONValue(value, &submission); err != nil {
		return nil, internalError("bind")
	}
	return s.prepare(ex, submission)
}

// pace waits until the caller's rate allows one more submission. A wait longer than a request may take is refused.
func (b *batch) pace(ex *exchange) *Problem {
	for {
		wait, ok := b.server.rates.take(ex.caller.Issuer+"\n"+ex.caller.Subject, time.Now())
		if ok {
			return nil
		}
		if wait > b.server.limits.Request {
			return problem(contract.ProblemTypeTooManyRequests, "Slow down.").retryAfter(wait)
		}
		select {
		case <-time.After(wait):
		case <-b.ctx.Done():
			return overloaded("gone")
		}
	}
}

// carryOut waits for a place among the submissions in hand and marks. A panic costs one line.
func (b *batch) carryOut(ex *exchange, w *work) (marked contract.MarkedSubmission, p *Problem) {
	defer func() {
		if value := recover(); value != nil {
			p = b.server.panicked(ex, value)
		}
	}()
	select {
	case b.server.inFlight <- struct{}{}:
		defer func() { <-b.server.inFlight }()
	case <-time.After(b.server.limits.Request):
		return marked, overloaded("in-flight")
	}
	ex.started = time.Now()
	return b.server.carryOut(b.ctx, ex, w)
}

func (b *batch) reply(line int, marked contract.MarkedSubmission, p *Problem) contract.BatchReply {
	if p == nil {
		b.server.observer.LineEnded("ok", "")
		return contract.BatchReply{Line: line, Status: http.StatusOK, Result: marked}
	}
	b.server.observer.LineEnded(p.name(), p.Because)
	b.failed.Add(1)
	b.server.log.Info("batch line", zap.String("request_id", b.ex.id), zap.Int("line", line),
		zap.String("outcome", p.name()), zap.String("because", p.Because))
	seconds, err := strconv.Atoi(p.Header.Get("Retry-After"))
	if err != nil {
		seconds = 0 // there is none
	}
	return contract.BatchReply{Line: line, Status: p.info().Status, RetryAfterSeconds: seconds, Problem: p.body(b.ex.instance())}
}

// write sends the replies in order. When the caller takes no more, work in hand is still finished.
func (b *batch) write(w http.ResponseWriter, connection *http.ResponseController) {
	for next := range b.replies {
		reply := <-next
		if b.broken.Load() {
			continue
		}
		_ = connection.SetWriteDeadline(time.Now().Add(b.server.limits.BatchPause))
		text, err := encodeJSON(reply)
		if err == nil {
			_, err = w.Write(text)
		}
		if err == nil {
			err = connection.Flush()
		}
		if err != nil && !errors.Is(err, http.ErrNotSupported) {
			b.broken.Store(true)
			_ = connection.SetReadDeadline(time.Now()) // wakes the reader
		}
	}
}
