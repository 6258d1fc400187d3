package api

import (
	"context"
	"errors"
	"net/http"
	"strings"
	"time"

	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/labstack/echo/v4"

	"squaremark/api/contract"
)

// check holds a request against its operation before the handler sees it: token, scope, rate, media types, header
// fields and parameters, body.
func (s *Server) check(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		op := s.operations.of(c)
		if op == nil {
			if c.Request().Method == http.MethodOptions && c.Get(echo.ContextKeyHeaderAllow) != nil {
				return echo.ErrMethodNotAllowed
			}
			return next(c)
		}
		input := &openapi3filter.RequestValidationInput{
			Request: withoutBody(c.Request()), PathParams: pathParameters(c), Route: op.route,
			Options: &openapi3filter.Options{
				ExcludeRequestBody: true,
				AuthenticationFunc: openapi3filter.NoopAuthenticationFunc, // admit has decided
			},
		}
		if p := s.admit(c, op, *input); p != nil {
			return p
		}
		if !acceptable(c.Request().Header, op.offers) {
			return problem(contract.ProblemTypeNotAcceptable, "Offered: "+strings.Join(op.offers, ", ")+".")
		}
		if op.takes != "" {
			if p := checkMediaType(c.Request().Header, op.takes); p != nil {
				return p
			}
		}
		if err := openapi3filter.ValidateRequest(c.Request().Context(), input); err != nil {
			return parameterProblem(err)
		}
		if op.body != nil {
			if p := s.takeBody(c, op); p != nil {
				return p
			}
		}
		return next(c)
	}
}

// withoutBody is the request as the library may see it: it would read the whole body, without a bound and before it
// asks for a token.
func withoutBody(r *http.Request) *http.Request {
	head := *r
	head.Body = http.NoBody
	return &head
}

// admit decides on the token, as the contract's security entry demands, and on the caller's rate.
func (s *Server) admit(c echo.Context, op *operation, input openapi3filter.RequestValidationInput) error {
	if len(op.security) == 0 {
		return nil
	}
	ex := exchangeOf(c.Request().Context())
	var refused *Problem
	input.Options = &openapi3filter.Options{
		AuthenticationFunc: func(ctx context.Context, demand *openapi3filter.AuthenticationInput) error {
			refused = s.authenticate(ctx, ex, c.Request().Header, demand.Scopes)
			if refused != nil {
				return refused
			}
			return nil
		},
	}
	if err := openapi3filter.ValidateSecurityRequirements(c.Request().Context(), &input, op.security); err != nil {
		if refused != nil {
			return refused
		}
		return internalError("security")
	}
	if ex.caller == nil {
		return internalError("security")
	}
	if wait, ok := s.rates.take(ex.caller.Issuer+"\n"+ex.caller.Subject, time.Now()); !ok {
		return problem(contract.ProblemTypeTooManyRequests, "Slow down.").retryAfter(wait)
	}
	return nil
}

// authenticate verifies the bearer token and its scopes.
//
// Source: RFC 6750, sections 2.1 and 3.
func (s *Server) authenticate(ctx context.Context, ex *exchange, header http.Header, scopes []string) *Problem {
	token, p := bearer(header.Values("Authorization"))
	if p != nil {
		return p
	}
	known := s.parties.Load()
	caller, refusal := known.verifier.Verify(ctx, token)
	switch {
	case refusal != nil && refusal.Temporary():
		return problem(contract.ProblemTypeKeysUnavailable, refusal.Text).
			retryAfter(30 * time.Second).because(string(refusal.Code))
	case refusal != nil:
		return tokenRefused(refusal.Text, string(refusal.Code))
	case caller == nil:
		return internalError("verifier")
	}
	partner, registered := known.partners[caller.Issuer]
	if !registered {
		return tokenRefused("the token's issuer is not a platform of this service", "issuer")
	}
	ex.caller, ex.partner, ex.bearer = caller, partner, header
	for _, scope := range scopes {
		if !caller.HasScope(scope) {
			return scopeMissing(scope)
		}
	}
	return nil
}

// bearer takes the token out of the header. Another scheme is no attempt to send a token.
func bearer(fields []string) (string, *Problem) {
	if len(fields) == 0 {
		return "", tokenMissing()
	}
	scheme, token, _ := strings.Cut(fields[0], " ")
	switch {
	case len(fields) > 1:
		return "", tokenMalformed()
	case !strings.EqualFold(scheme, "Bearer"):
		return "", tokenMissing()
	case token == "" || strings.ContainsAny(token, " \t,"):
		return "", tokenMalformed()
	}
	return token, nil
}

// parameterProblem names the parameter, which is a word of the contract, and not its value.
func parameterProblem(err error) *Problem {
	var fault *openapi3filter.RequestError
	if errors.As(err, &fault) && fault.Parameter != nil {
		if fault.Parameter.In == "path" {
			return problem(contract.ProblemTypeMalformedRequest, "The part of the address called "+fault.Parameter.Name+" is not in its form.")
		}
		return problem(contract.ProblemTypeMalformedRequest, "The header field "+fault.Parameter.Name+" is not in its form.")
	}
	return internalError("parameters")
}
