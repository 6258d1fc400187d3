package api

import (
	"context"
	"time"

	"squaremark/api/contract"
	"squaremark/api/platform"
	"squaremark/grader"
)

// deliver posts the score or the event and tells what became of it.
func (s *Server) deliver(ctx context.Context, ex *exchange, to destination, submission contract.Submission, result *grader.Result) (d contract.Delivery) {
	began := time.Now()
	defer func() {
		s.observer.Delivered(DeliveryEnd{
			Platform: ex.partner.registration.Issuer, Channel: d.Channel, State: d.State, Attempts: d.Attempts, Took: time.Since(began),
		})
	}()
	now := s.stamps.Next()
	if to.hook != nil {
		event := gradedEvent(ex.caller.Issuer, to.hook.Name, submission, result, now)
		outcome, err := s.sender.PostWebhook(ctx, to.hook, event)
		d = delivery(contract.Webhook, outcome, err)
		d.WebhookID = platform.EventID(event.Identity...)
		return d
	}
	outcome, err := s.sender.PostScore(ctx, to.registration, to.lineItem, score(submission, result, now))
	d = delivery(contract.LineItem, outcome, err)
	d.ScoreTimestamp = now
	return d
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
func deliveryProblem(marked contract.MarkedSubmission) *Problem {
	var p *Problem
	switch marked.Delivery.State {
	case contract.Refused:
		p = problem(contract.ProblemTypeDeliveryRefused, "Look at result.delivery.reason before sending again.")
	case contract.Delayed:
		p = problem(contract.ProblemTypeDeliveryDelayed, "Send the same submission again later.")
		if seconds := marked.Delivery.RetryAfterSeconds; seconds > 0 {
			p = p.retryAfter(time.Duration(seconds) * time.Second)
		}
	case contract.Unanswered:
		p = problem(contract.ProblemTypeDeliveryUnanswered, "Send the same submission again later.")
	default:
		return nil
	}
	p.Result = marked
	return p.because(string(marked.Delivery.Channel) + "-" + string(marked.Delivery.StatusClass))
}
