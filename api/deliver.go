package api

import (
	"context"
	"errors"
	"time"

	"squaremark/api/contract"
	"squaremark/api/platform"
	"squaremark/grader"
)

// deliver posts the score or the event and tells what became of it. Where a score did not arrive there is a receipt.
func (s *Server) deliver(ctx context.Context, ex *exchange, w *work, result *grader.Result) (d contract.Delivery, receipt string) {
	if hook := w.to.hook; hook != nil {
		return s.send(ctx, ex, hook, gradedEvent(ex.caller.Issuer, hook.Name, w.submission, result, s.stamps.Next())), ""
	}
	lineItem := w.to.lineItem
	if w.to.lookup.LineItems != "" {
		if lineItem, d = s.find(ctx, ex, w, result); lineItem == "" {
			return d, ""
		}
	}
	message := score(w.submission, result, s.stamps.Next())
	if d = s.post(ctx, ex, lineItem, message); undelivered(d) != nil {
		receipt = s.receipt(ex, platform.Receipt{LineItem: lineItem, Container: w.to.lookup.LineItems, Score: message})
	}
	if w.to.lookup.LineItems != "" {
		d.LineItem = lineItem
	}
	return d, receipt
}

// find looks up the line item, or has it made; "" where there is none, with what became of the delivery.
func (s *Server) find(ctx context.Context, ex *exchange, w *work, result *grader.Result) (string, contract.Delivery) {
	began := time.Now()
	lookup := w.to.lookup
	var create *platform.LineItem
	if lookup.Create {
		create = &platform.LineItem{Label: w.by.Title.Value, Maximum: result.Total}
	}
	item, err := s.lineItems.FindOrCreateLineItem(ctx, ex.partner.registration,
		platform.ItemQuery{Container: lookup.LineItems, ResourceID: lookup.ResourceID, Tag: lookup.Tag}, create)
	if err == nil {
		return item.ID, contract.Delivery{}
	}
	outcome := platform.Outcome{State: platform.Refused, Reason: "the line item can neither be found nor made"}
	var told *platform.CallError
	if errors.As(err, &told) {
		outcome = told.Outcome
		outcome.Attempts, outcome.Reason = 0, "looking for the line item: "+outcome.Reason
	}
	d := delivery(contract.LineItem, outcome, nil)
	s.delivered(ex, d, began)
	return "", d
}

// send sends an event and tells what became of it.
func (s *Server) send(ctx context.Context, ex *exchange, hook *platform.Webhook, event platform.Event) contract.Delivery {
	began := time.Now()
	outcome, err := s.sender.PostWebhook(ctx, hook, event)
	d := delivery(contract.Webhook, outcome, err)
	d.WebhookID = platform.EventID(event.Identity...)
	s.delivered(ex, d, began)
	return d
}

// post sends a score and tells what became of it.
func (s *Server) post(ctx context.Context, ex *exchange, lineItem string, score platform.Score) contract.Delivery {
	began := time.Now()
	outcome, err := s.sender.PostScore(ctx, ex.partner.registration, lineItem, score)
	d := delivery(contract.LineItem, outcome, err)
	d.ScoreTimestamp = score.Timestamp
	s.delivered(ex, d, began)
	return d
}

// delivered tells the observer.
func (s *Server) delivered(ex *exchange, d contract.Delivery, began time.Time) {
	s.observer.Delivered(DeliveryEnd{
		Platform: ex.partner.registration.Issuer, Channel: d.Channel, State: d.State, Attempts: d.Attempts, Took: time.Since(began),
	})
}

// delivery puts an outcome into the words of the contract. An error means that a rule was broken and nothing was sent.
func delivery(channel contract.DeliveryChannel, outcome platform.Outcome, err error) contract.Delivery {
	d := contract.Delivery{
		Channel: channel, Attempts: outcome.Attempts, Reason: outcome.Reason,
		State: contract.Refused, StatusClass: statusClass(outcome.Status),
	}
	switch {
	case err != nil:
		d.Reason = "nothing was sent: the message breaks a rule of its standard"
	case outcome.State == platform.Delivered:
		d.State = contract.Delivered
	case outcome.State == platform.Stale:
		d.State = contract.Superseded
	case outcome.State == platform.Retry && outcome.Status == 0:
		d.State = contract.Unanswered
	case outcome.State == platform.Retry:
		d.State = contract.Delayed
		d.RetryAfterSeconds = int((outcome.RetryAfter + time.Second - 1) / time.Second)
	}
	return d
}

func statusClass(status int) contract.DeliveryStatusClass {
	switch status / 100 {
	case 2:
		return contract.Status2Xx
	case 3:
		return contract.Status3Xx
	case 4:
		return contract.Status4Xx
	case 5:
		return contract.Status5Xx
	}
	return contract.StatusNone
}

// deliveryProblem is nil where nothing is left to do. Otherwise the problem holds the whole result, so that the marks
// are not lost with the message.
func deliveryProblem(marked contract.MarkedSubmission, receipt string) *Problem {
	p := undelivered(marked.Delivery)
	if p != nil {
		p.Result, p.Receipt = marked, receipt
	}
	return p
}

// undelivered is nil where nothing is left to do.
func undelivered(d contract.Delivery) *Problem {
	var p *Problem
	switch d.State {
	case contract.Refused:
		p = problem(contract.ProblemTypeDeliveryRefused, "Look at the reason of the delivery before sending again.")
	case contract.Delayed:
		p = problem(contract.ProblemTypeDeliveryDelayed, "Send the same again later.")
		if d.RetryAfterSeconds > 0 {
			p = p.retryAfter(time.Duration(d.RetryAfterSeconds) * time.Second)
		}
	case contract.Unanswered:
		p = problem(contract.ProblemTypeDeliveryUnanswered, "Send the same again later.")
	default:
		return nil
	}
	return p.because(string(d.Channel) + "-" + string(d.StatusClass))
}
