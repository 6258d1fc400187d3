package api

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"squaremark/api/contract"
)

// Problem is an answer that is not a success: RFC 9457, as an error. It never holds what a pupil wrote, except in
// Result and Receipt.
type Problem struct {
	Type    contract.ProblemType
	Detail  string
	Errors  []contract.FieldError
	Header  http.Header
	Because string // for the log: a code of a closed set

	// Of a delivery that failed: the result and, for a score, its receipt; or, where a receipt was to be delivered, what
	// became of it.
	Result   contract.MarkedSubmission
	Receipt  string
	Delivery contract.Delivery
}

// Error is the type's last part and the detail.
func (p *Problem) Error() string { return p.name() + ": " + p.Detail }

// ProblemInfo describes a type of problem.
type ProblemInfo struct {
	Type   contract.ProblemType
	Status int
	Title  string
}

// ProblemCatalogue lists every type of problem, in the order of openapi.yaml. Status and title never vary.
//
// Source: RFC 9457, section 3.1; RFC 9110, section 15; RFC 6585, section 4.
func ProblemCatalogue() []ProblemInfo {
	return []ProblemInfo{
		{contract.ProblemTypeMalformedJSON, http.StatusBadRequest, "The body is not one strict JSON value"},
		{contract.ProblemTypeMalformedRequest, http.StatusBadRequest, "A header field or the address is not in its form"},
		{contract.ProblemTypeTokenMissing, http.StatusUnauthorized, "A bearer token is needed"},
		{contract.ProblemTypeTokenRefused, http.StatusUnauthorized, "The bearer token is not accepted"},
		{contract.ProblemTypeScopeMissing, http.StatusForbidden, "The token's scope does not reach here"},
		{contract.ProblemTypeNotPermitted, http.StatusForbidden, "The token does not permit this submission"},
		{contract.ProblemTypeNotFound, http.StatusNotFound, "There is nothing here"},
		{contract.ProblemTypeMethodNotAllowed, http.StatusMethodNotAllowed, "This method is not offered here"},
		{contract.ProblemTypeNotAcceptable, http.StatusNotAcceptable, "No acceptable media type is offered here"},
		{contract.ProblemTypeBodyTooSlow, http.StatusRequestTimeout, "The body did not arrive in time"},
		{contract.ProblemTypeBodyTooLarge, http.StatusRequestEntityTooLarge, "The body is too large"},
		{contract.ProblemTypeUnsupportedMediaType, http.StatusUnsupportedMediaType, "The body is not of the expected media type"},
		{contract.ProblemTypeInvalidSubmission, http.StatusUnprocessableEntity, "The submission does not fit the contract"},
		{contract.ProblemTypeUnknownRubric, http.StatusUnprocessableEntity, "There is no such rubric"},
		{contract.ProblemTypeReceiptRefused, http.StatusUnprocessableEntity, "The receipt is not accepted"},
		{contract.ProblemTypeTooManyRequests, http.StatusTooManyRequests, "Too many requests"},
		{contract.ProblemTypeInternalError, http.StatusInternalServerError, "The service made a mistake"},
		{contract.ProblemTypeOverloaded, http.StatusServiceUnavailable, "The service is busy"},
		{contract.ProblemTypeKeysUnavailable, http.StatusServiceUnavailable, "The token cannot be judged at the moment"},
		{contract.ProblemTypeDeliveryRefused, http.StatusBadGateway, "Marked, but the score was refused"},
		{contract.ProblemTypeDeliveryDelayed, http.StatusServiceUnavailable, "Marked, but the score could not be delivered yet"},
		{contract.ProblemTypeDeliveryUnanswered, http.StatusGatewayTimeout, "Marked, but the score's receiver did not answer"},
	}
}

func (p *Problem) info() ProblemInfo {
	for _, info := range ProblemCatalogue() {
		if info.Type == p.Type {
			return info
		}
	}
	return ProblemInfo{contract.ProblemTypeInternalError, http.StatusInternalServerError, "The service made a mistake"}
}

// name is the last part of the type, for logs.
func (p *Problem) name() string {
	return string(p.Type[strings.LastIndexByte(string(p.Type), '/')+1:])
}

// body is the document as it is sent.
func (p *Problem) body(instance string) contract.DeliveryProblem {
	info := p.info()
	return contract.DeliveryProblem{
		Type: info.Type, Title: info.Title, Status: info.Status,
		Detail: p.Detail, Errors: p.Errors, Instance: instance,
		Result: p.Result, Receipt: p.Receipt, Delivery: p.Delivery,
	}
}

func problem(kind contract.ProblemType, detail string) *Problem {
	return &Problem{Type: kind, Detail: detail}
}

func (p *Problem) because(code string) *Problem { p.Because = code; return p }

func (p *Problem) with(name, value string) *Problem {
	if p.Header == nil {
		p.Header = http.Header{}
	}
	p.Header.Set(name, value)
	return p
}

// retryAfter tells how long to wait, in whole seconds, at least one.
func (p *Problem) retryAfter(wait time.Duration) *Problem {
	seconds := max(1, int64((wait+time.Second-1)/time.Second))
	return p.with("Retry-After", strconv.FormatInt(seconds, 10))
}

const realm = `Bearer realm="squaremark"`

func tokenMissing() *Problem {
	return problem(contract.ProblemTypeTokenMissing, "Send the platform's token in the Authorization header field.").
		with("WWW-Authenticate", realm)
}

func tokenMalformed() *Problem {
	return problem(contract.ProblemTypeTokenRefused, "expected one Authorization header field with the scheme Bearer and one token").
		with("WWW-Authenticate", realm+`, error="invalid_token"`).because("header")
}

func tokenRefused(why, code string) *Problem {
	return problem(contract.ProblemTypeTokenRefused, why).
		with("WWW-Authenticate", realm+`, error="invalid_token"`).because(code)
}

func scopeMissing(scope string) *Problem {
	return problem(contract.ProblemTypeScopeMissing, fmt.Sprintf("The token needs the scope %s.", scope)).
		with("WWW-Authenticate", fmt.Sprintf(`%s, error="insufficient_scope", scope="%s"`, realm, scope)).because(scope)
}

func notPermitted(pointer, why, code string) *Problem {
	p := problem(contract.ProblemTypeNotPermitted, "The token is good, but not for this.").because(code)
	p.Errors = []contract.FieldError{{Pointer: pointer, Reason: why}}
	return p
}

func malformedJSON(why string, line, column int) *Problem {
	p := problem(contract.ProblemTypeMalformedJSON, "Send one JSON value in UTF-8, with no member name twice in an object.")
	p.Errors = []contract.FieldError{{Reason: why, Line: line, Column: column}}
	return p
}

func invalid(errors ...contract.FieldError) *Problem {
	p := problem(contract.ProblemTypeInvalidSubmission, "See errors for each place; openapi.yaml is the contract.")
	p.Errors = errors
	return p
}

func unknownRubric(pointer string) *Problem {
	p := problem(contract.ProblemTypeUnknownRubric, "GET /v1/rubrics lists the quizzes that can be marked.")
	p.Errors = []contract.FieldError{{Pointer: pointer, Reason: "no rubric of this name is loaded"}}
	return p
}

func receiptRefused(why, code string) *Problem {
	p := problem(contract.ProblemTypeReceiptRefused, "Send the submission again: that works with or without a receipt.").because(code)
	p.Errors = []contract.FieldError{{Pointer: "/receipt", Reason: why}}
	return p
}

func overloaded(why string) *Problem {
	return problem(contract.ProblemTypeOverloaded, "Nothing was marked. Send the same submission again.").
		retryAfter(time.Second).because(why)
}

func internalError(code string) *Problem {
	return problem(contract.ProblemTypeInternalError, "").because(code)
}
