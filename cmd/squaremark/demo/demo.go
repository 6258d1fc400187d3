// Package demo runs the whole loop on one machine: a stand-in course platform
// and the service, both on loopback with fresh keys; an invented class; the
// gradebook afterwards.
//
//	demo.go    start, send, compare
//	class.go   the class
//	report.go  what is printed
package demo

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/big"
	"net"
	"net/http"
	"os"
	"time"

	"go.uber.org/zap"

	"squaremark/api"
	"squaremark/api/contract"
	"squaremark/api/platform"
	"squaremark/api/platform/standin"
	"squaremark/cmd/squaremark/service"
	"squaremark/deploy/course"
)

// marked is one pupil's reply from the service.
type marked struct {
	pupil  pupil
	status int
	result contract.MarkedSubmission
}

// Run runs the demo and prints what came of it. Errors: anything that kept a
// score from arriving in the gradebook.
func Run(ctx context.Context, out io.Writer, log *zap.Logger) error {
	ctx, stop := context.WithTimeout(ctx, 2*time.Minute)
	defer stop()
	class, err := readClass()
	if err != nil {
		return err
	}
	loop, err := start(ctx, log)
	if err != nil {
		return err
	}
	defer loop.close()
	fmt.Fprintf(out, "service   %s\nplatform  %s\nclass     %d pupils, quiz %s\n\n", loop.url, loop.school.URL(), len(class.Pupils), class.Quiz)
	item := loop.school.AddLineItem(standin.LineItem{ID: class.Quiz, Label: "Garden plots", Maximum: big.NewRat(100, 1)})
	var all []marked
	for _, p := range class.Pupils {
		m, err := loop.send(ctx, class.Quiz, item, p)
		if err != nil {
			return fmt.Errorf("%s: %w", p.ID, err)
		}
		all = append(all, m)
	}
	report(out, class, all, loop.school.Gradebook())
	return check(all, loop.school.Gradebook())
}

// check demands that every score was taken and is the one in the gradebook.
func check(all []marked, book []standin.Entry) error {
	entries := map[string]standin.Entry{}
	for _, e := range book {
		entries[e.UserID] = e
	}
	var errs []error
	for _, m := range all {
		e, arrived := entries[m.pupil.ID]
		switch {
		case m.status != http.StatusOK || m.result.Delivery.State != contract.DeliveryState("delivered"):
			errs = append(errs, fmt.Errorf("%s: not delivered (%d, %s)", m.pupil.ID, m.status, m.result.Delivery.Reason))
		case !arrived:
			errs = append(errs, fmt.Errorf("%s: not in the gradebook", m.pupil.ID))
		case !agrees(m, e):
			errs = append(errs, fmt.Errorf("%s: the gradebook shows another score", m.pupil.ID))
		}
	}
	return errors.Join(errs...)
}

// agrees compares the marks of a reply with the rescaled score of a cell.
func agrees(m marked, e standin.Entry) bool {
	marks, ok := new(big.Rat).SetString(m.result.Marks)
	total, okTotal := new(big.Rat).SetString(m.result.Total)
	if !ok || !okTotal || total.Sign() == 0 || e.Shown == nil {
		return false
	}
	want := new(big.Rat).Mul(marks, big.NewRat(100, 1))
	return want.Quo(want, total).Cmp(e.Shown) == 0
}

// loop is a running service and a running platform.
type loop struct {
	url    string
	school *standin.Platform
	folder string
	stop   context.CancelFunc
	ended  chan error
}

func (l *loop) close() {
	l.stop()
	<-l.ended
	_ = l.school.Close()
	_ = os.RemoveAll(l.folder)
}

// keyBits is the size of the service's fresh RSA key.
const keyBits = 2048

// start brings both sides up, each knowing the other's address only.
func start(ctx context.Context, log *zap.Logger) (*loop, error) {
	key, err := platform.GenerateSigningKey(keyBits)
	if err != nil {
		return nil, err
	}
	keys, err := platform.NewKeySet(key)
	if err != nil {
		return nil, err
	}
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return nil, err
	}
	l := &loop{url: "http://" + listener.Addr().String(), ended: make(chan error, 1)}
	if l.school, err = standin.Start(standin.Config{ToolKeySetURL: l.url + "/.well-known/jwks.json"}); err != nil {
		return nil, err
	}
	if l.folder, err = course.Unpack(); err != nil {
		return nil, err
	}
	s, err := service.Assemble(l.folder, []api.Platform{{Registration: l.school.Registration(keys)}}, []platform.IssuerConfig{l.school.IssuerConfig()}, log)
	if err != nil {
		return nil, err
	}
	ctx, l.stop = context.WithCancel(ctx)
	go func() { l.ended <- s.Server.Serve(ctx, listener) }()
	return l, nil
}

// send submits one pupil's answers the way the platform does.
func (l *loop) send(ctx context.Context, quiz, item string, p pupil) (marked, error) {
	m := marked{pupil: p}
	token, err := l.school.MintSubmissionToken(map[string]any{
		"sub": "circle-courses", "scope": "submit", api.PupilClaim: p.ID,
	})
	if err != nil {
		return m, err
	}
	now := time.Now().UTC()
	body, err := json.Marshal(map[string]any{
		"rubric": map[string]string{"quiz": quiz}, "pupil": p.ID, "target": map[string]string{"lineItem": item},
		"startedAt": now.Add(-40 * time.Minute).Format(time.RFC3339), "submittedAt": now.Format(time.RFC3339), "answers": p.Answers,
	})
	if err != nil {
		return m, err
	}
	request, err := http.NewRequestWithContext(ctx, http.MethodPost, l.url+"/v1/submissions", bytes.NewReader(body))
	if err != nil {
		return m, err
	}
	request.Header.Set("Authorization", "Bearer "+token)
	request.Header.Set("Content-Type", "application/json")
	reply, err := http.DefaultClient.Do(request)
	if err != nil {
		return m, err
	}
	defer reply.Body.Close()
	text, err := io.ReadAll(io.LimitReader(reply.Body, 4<<20))
	if err != nil {
		return m, err
	}
	m.status = reply.StatusCode
	if reply.StatusCode != http.StatusOK {
		var problem contract.DeliveryProblem
		if err := json.Unmarshal(text, &problem); err != nil {
			return m, err
		}
		if m.result = problem.Result; m.result.Quiz == "" {
			return m, fmt.Errorf("%d %s: %s", problem.Status, problem.Title, problem.Detail)
		}
		return m, nil
	}
	return m, json.Unmarshal(text, &m.result)
}
