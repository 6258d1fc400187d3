package api

import (
	"context"
	"net/http"

	"go.uber.org/zap"

	"squaremark/api/contract"
	"squaremark/api/platform"
)

// receipts sign and read the receipts of one platform.
func (s *Server) receipts(of *partner) (*platform.Receipts, error) {
	return platform.NewReceipts(of.registration, s.limits.Receipt, s.clock)
}

// receipt is the score as something that the caller can have delivered later. It is "" where none can be made: then
// the submission must be sent again.
func (s *Server) receipt(ex *exchange, receipt platform.Receipt) string {
	all, err := s.receipts(ex.partner)
	if err != nil {
		s.log.Error("no receipt", zap.String("request_id", ex.id), zap.Error(err))
		return ""
	}
	text, err := all.Sign(receipt)
	if err != nil {
		s.log.Error("no receipt", zap.String("request_id", ex.id), zap.Error(err))
		return ""
	}
	return text
}

// receiptAnswer is the 200 answer to a receipt.
type receiptAnswer struct{ contract.DeliveredReceipt }

// VisitDeliverReceiptResponse implements the generated interface.
func (a receiptAnswer) VisitDeliverReceiptResponse(w http.ResponseWriter) error {
	return writeJSON(w, http.StatusOK, "application/json", a.DeliveredReceipt)
}

// DeliverReceipt delivers the score of a receipt: the same bytes with the same timestamp, so that a platform that has
// it already, or a newer one, answers that it is not newer. What the caller may do is judged anew.
func (s *Server) DeliverReceipt(ctx context.Context, request contract.DeliverReceiptRequestObject) (contract.DeliverReceiptResponseObject, error) {
	ex := exchangeOf(ctx)
	all, err := s.receipts(ex.partner)
	if err != nil {
		return nil, internalError("receipt-keys")
	}
	receipt, refusal := all.Open(ctx, request.Body.Receipt)
	if refusal != nil {
		return nil, refusedReceipt(refusal)
	}
	if p := permitReceipt(ex, receipt); p != nil {
		return nil, p
	}
	select {
	case s.inFlight <- struct{}{}:
		defer func() { <-s.inFlight }()
	default:
		return nil, overloaded("in-flight")
	}
	delivering, cancel := context.WithDeadline(context.WithoutCancel(ctx), ex.started.Add(s.limits.Request))
	defer cancel()
	d := s.post(delivering, ex, receipt.LineItem, receipt.Score)
	if p := undelivered(d); p != nil {
		p.Delivery = d
		return nil, p
	}
	return receiptAnswer{contract.DeliveredReceipt{Delivery: d}}, nil
}

// refusedReceipt tells an expired receipt and a foreign one apart from all others; more nobody needs to know.
func refusedReceipt(refusal *platform.Refusal) *Problem {
	code := "receipt-" + string(refusal.Code)
	switch refusal.Code {
	case platform.RefusedExpired, platform.RefusedAge:
		return receiptRefused("has expired", code)
	case platform.RefusedPlatform:
		return notPermitted("/receipt", "was made for another platform", code)
	}
	return receiptRefused("is not a receipt of this service for this platform", code)
}

// permitReceipt holds the token's pins against the receipt as against the submission it came from, and the line item
// against the list of origins as it is now.
func permitReceipt(ex *exchange, receipt *platform.Receipt) *Problem {
	p := permitPupil(ex, receipt.Score.UserID)
	if p == nil {
		p = permitEndpoint(ex.caller.Claims, receipt.LineItem, receipt.Container)
	}
	if p == nil && ex.partner.registration.CheckLineItem(receipt.LineItem) != nil {
		p = notPermitted("", "names a line item that is not on an origin agreed for this platform", "origin")
	}
	if p != nil {
		p.Errors[0].Pointer = "/receipt"
	}
	return p
}
