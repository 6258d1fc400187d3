package api_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/algebra/source"
	"squaremark/api"
	"squaremark/api/platform"
	"squaremark/api/platform/standin"
	"squaremark/grader"
	"squaremark/grader/rubric"
)

// row is one request with the answer it must get. Rows with an own circle change the configuration or the platform.
type row struct {
	name      string
	operation string // of the contract
	config    func(*api.Config)
	fresh     bool // needs a circle that has not posted yet
	arrange   func(*circle)
	call      func(*circle) call
	status    int
	problem   string
	header    map[string]string // "*": there must be one
	pointers  []string
}

const (
	marking  = "POST /v1/submissions"
	many     = "POST /v1/submissions/batch"
	redeem   = "POST /v1/receipts"
	listing  = "GET /v1/rubrics"
	one      = "GET /v1/rubrics/{id}"
	schemaOf = "GET /v1/rubric-schema"
	keySet   = "GET /.well-known/jwks.json"
	health   = "GET /healthz"
	ready    = "GET /readyz"
	theYAML  = "GET /openapi.yaml"
)

func good(c *circle) call { return c.submit(c.submission(nil)) }

func changed(changes map[string]any) func(*circle) call {
	return func(c *circle) call { return c.submit(c.submission(changes)) }
}

func at(path string) func(*circle) call { return func(c *circle) call { return c.get(path) } }

func withHeader(make func(*circle) call, name, value string) func(*circle) call {
	return func(c *circle) call { return make(c).with(name, value) }
}

func withClaims(make func(*circle) call, claims map[string]any) func(*circle) call {
	return func(c *circle) call { return make(c).with("Authorization", "Bearer "+c.token(claims)) }
}

func failing(at standin.Endpoint, faults ...standin.Fault) func(*circle) {
	return func(c *circle) { c.platform.Fail(at, faults...) }
}

func panicking(r *rubric.Rubric) (api.Mark, []*source.Diag) {
	return func(s grader.Submission) grader.Result { panic(s.Answers) }, nil
}

func rubricsMarkedBy(prepare api.Prepare) func(*api.Config) {
	return func(c *api.Config) { c.Rubrics = api.OpenRubrics("testdata/rubrics", prepare, c.Log) }
}

// spent is a limit of one request that the first request of the row uses up.
func spent(path string) func(*circle) {
	return func(c *circle) { c.do(c.get(path)) }
}

func oneAtATime(c *api.Config) { c.Limits.Burst, c.Limits.PerSecond = 1, 0.001 }

// keysGone points the verifier at an address where nobody publishes keys.
func keysGone(c *api.Config) {
	issuer := platform.IssuerConfig{
		Issuer: c.Platforms[0].Registration.Issuer, Audience: "squaremark",
		KeySetURL: "http://127.0.0.1:9/jwks.json", AllowPlainHTTP: true, AllowLoopback: true,
	}
	verifier, err := platform.NewVerifier([]platform.IssuerConfig{issuer}, platform.VerifierOptions{})
	if err == nil {
		c.Verifier = verifier
	}
}

type panickingVerifier struct{}

func (panickingVerifier) Verify(context.Context, string) (*platform.Caller, *platform.Refusal) {
	panic("verifier")
}

func panicInVerifier(c *api.Config) { c.Verifier = panickingVerifier{} }

type undecidedVerifier struct{}

func (undecidedVerifier) Verify(context.Context, string) (*platform.Caller, *platform.Refusal) {
	return nil, nil
}

const bearerOnly = `Bearer realm="squaremark"`

func rows() []row {
	noToken := func(make func(*circle) call) func(*circle) call { return withHeader(make, "Authorization", "") }
	deep := strings.Repeat("[", 9) + strings.Repeat("]", 9)
	all := []row{
		{name: "marked, score posted", operation: marking, call: good, status: 200, header: map[string]string{"Cache-Control": "no-store", "Content-Type": "application/json", "X-Content-Type-Options": "nosniff"}},
		{name: "marked, webhook", operation: marking, call: changed(map[string]any{"target": map[string]any{"webhook": hookName}}), status: 200},
		{name: "quoted key", operation: marking, call: withHeader(good, "Idempotency-Key", `"9b2f-77"`), status: 200},
		{name: "charset named", operation: marking, call: withHeader(good, "Content-Type", "application/json; charset=UTF-8"), status: 200},
		{name: "nothing answered", operation: marking, call: changed(map[string]any{"answers": map[string]any{}}), status: 200},
		{name: "older score", operation: marking, arrange: failing(standin.ScoresEndpoint, standin.Fault{Status: 409}), call: good, status: 200},

		{name: "not JSON", operation: marking, call: func(c *circle) call { return c.submit("{'rubric': 1}") }, status: 400, problem: "malformed-json", pointers: []string{""}},
		{name: "empty body", operation: marking, call: func(c *circle) call { return c.submit("") }, status: 400, problem: "malformed-json"},
		{name: "two values", operation: marking, call: func(c *circle) call { return c.submit("{} {}") }, status: 400, problem: "malformed-json"},
		{name: "member twice", operation: marking, call: func(c *circle) call { return c.submit(`{"pupil":"p-07c2","pupil":"p-1e90"}`) }, status: 400, problem: "malformed-json"},
		{name: "too deep", operation: marking, call: func(c *circle) call { return c.submit(deep) }, status: 400, problem: "malformed-json"},
		{name: "half a character", operation: marking, call: func(c *circle) call { return c.submit(`{"pupil":"\ud83c"}`) }, status: 400, problem: "malformed-json"},
		{name: "unquoted key", operation: marking, call: withHeader(good, "Idempotency-Key", "9b2f-77"), status: 400, problem: "malformed-request"},
		{name: "empty key", operation: marking, call: withHeader(good, "Idempotency-Key", `""`), status: 400, problem: "malformed-request"},
		{name: "over-long key", operation: marking, call: withHeader(good, "Idempotency-Key", `"`+strings.Repeat("7", 300)+`"`), status: 400, problem: "malformed-request"},

		{name: "no token", operation: marking, call: noToken(good), status: 401, problem: "token-missing", header: map[string]string{"WWW-Authenticate": bearerOnly}},
		{name: "another scheme", operation: marking, call: withHeader(good, "Authorization", "Basic cC0wN2MyOng="), status: 401, problem: "token-missing", header: map[string]string{"WWW-Authenticate": bearerOnly}},
		{name: "no token after the scheme", operation: marking, call: withHeader(good, "Authorization", "Bearer"), status: 401, problem: "token-refused", header: map[string]string{"WWW-Authenticate": bearerOnly + `, error="invalid_token"`}},
		{name: "nonsense token", operation: marking, call: withHeader(good, "Authorization", "Bearer a.b.c"), status: 401, problem: "token-refused", header: map[string]string{"WWW-Authenticate": bearerOnly + `, error="invalid_token"`}},
		{name: "not a registered issuer", operation: marking, call: withClaims(good, map[string]any{"iss": "https://elsewhere.example"}), status: 401, problem: "token-refused"},

		{name: "read only", operation: marking, call: withClaims(good, map[string]any{"scope": "read"}), status: 403, problem: "scope-missing", header: map[string]string{"WWW-Authenticate": bearerOnly + `, error="insufficient_scope", scope="submit"`}},
		{name: "no scope", operation: marking, call: withClaims(good, map[string]any{"scope": nil}), status: 403, problem: "scope-missing"},
		{name: "another pupil", operation: marking, call: withClaims(good, map[string]any{api.PupilClaim: "p-1e90"}), status: 403, problem: "not-permitted", pointers: []string{"/pupil"}},

		{name: "only HTML wanted", operation: marking, call: withHeader(good, "Accept", "text/html, application/json;q=0"), status: 406, problem: "not-acceptable"},
		{name: "stated length", operation: marking, call: func(c *circle) call { return c.submit(strings.Repeat(" ", 256<<10+1)) }, status: 413, problem: "body-too-large"},
		{name: "text", operation: marking, call: withHeader(good, "Content-Type", "text/plain"), status: 415, problem: "unsupported-media-type", header: map[string]string{"Accept": "application/json"}},
		{name: "no media type", operation: marking, call: withHeader(good, "Content-Type", ""), status: 415, problem: "unsupported-media-type"},
		{name: "another charset", operation: marking, call: withHeader(good, "Content-Type", "application/json; charset=utf-16"), status: 415, problem: "unsupported-media-type"},
		{name: "compressed", operation: marking, call: withHeader(good, "Content-Encoding", "gzip"), status: 415, problem: "unsupported-media-type", header: map[string]string{"Accept-Encoding": "identity"}},

		{name: "contract broken", operation: marking, call: changed(map[string]any{"pupil": nil, "scoreGiven": 5}), status: 422, problem: "invalid-submission", pointers: []string{"", "/pupil"}},
		{name: "unknown quiz", operation: marking, call: changed(map[string]any{"rubric": map[string]any{"quiz": "roof-gardens"}}), status: 422, problem: "unknown-rubric", pointers: []string{"/rubric"}},

		{name: "too many", operation: marking, config: oneAtATime, arrange: spent("/v1/rubrics"), call: good, status: 429, problem: "too-many-requests", header: map[string]string{"Retry-After": "*"}},

		{name: "marking panics", operation: marking, config: rubricsMarkedBy(panicking), call: good, status: 500, problem: "internal-error"},
		{name: "verifier panics", operation: marking, config: panicInVerifier, call: good, status: 500, problem: "internal-error"},
		{name: "verifier decides nothing", operation: marking, config: func(c *api.Config) { c.Verifier = undecidedVerifier{} }, call: good, status: 500, problem: "internal-error"},

		{name: "closed activity", operation: marking, arrange: failing(standin.ScoresEndpoint, standin.Fault{Status: 403}), call: good, status: 502, problem: "delivery-refused"},
		{name: "redirect", operation: marking, arrange: failing(standin.ScoresEndpoint, standin.Fault{Status: 307, Header: map[string]string{"Location": "http://127.0.0.1:9/"}}), call: good, status: 502, problem: "delivery-refused"},
		{name: "no access token", operation: marking, arrange: failing(standin.TokenEndpoint, standin.Fault{Status: 400, Body: `{"error":"invalid_client"}`}), fresh: true, call: good, status: 502, problem: "delivery-refused"},
		{name: "webhook gone", operation: marking, arrange: failing(standin.HooksEndpoint, standin.Fault{Status: 410}), call: changed(map[string]any{"target": map[string]any{"webhook": hookName}}), status: 502, problem: "delivery-refused"},
		{name: "webhook asks to slow down", operation: marking, arrange: failing(standin.HooksEndpoint, standin.Fault{Status: 429, Header: map[string]string{"Retry-After": "7"}}, standin.Fault{Status: 429, Header: map[string]string{"Retry-After": "7"}}), call: changed(map[string]any{"target": map[string]any{"webhook": hookName}}), status: 503, problem: "delivery-delayed", header: map[string]string{"Retry-After": "7"}},
		{name: "no access token for now", operation: marking, arrange: failing(standin.TokenEndpoint, standin.Fault{Status: 500}, standin.Fault{Status: 500}), fresh: true, call: good, status: 503, problem: "delivery-delayed"},
		{name: "asked to wait", operation: marking, arrange: failing(standin.ScoresEndpoint, standin.Fault{Status: 503, Header: map[string]string{"Retry-After": "90"}}), call: good, status: 503, problem: "delivery-delayed", header: map[string]string{"Retry-After": "90"}},
		{name: "issuer's keys are gone", operation: marking, config: keysGone, call: good, status: 503, problem: "keys-unavailable", header: map[string]string{"Retry-After": "*"}},
		{name: "connection breaks", operation: marking, arrange: failing(standin.ScoresEndpoint, standin.Fault{Reset: true}, standin.Fault{Reset: true}), call: good, status: 504, problem: "delivery-unanswered"},

		{name: "list", operation: listing, call: at("/v1/rubrics"), status: 200, header: map[string]string{"Cache-Control": "no-store"}},
		{name: "list without token", operation: listing, call: noToken(at("/v1/rubrics")), status: 401, problem: "token-missing"},
		{name: "list with submit only", operation: listing, call: withClaims(at("/v1/rubrics"), map[string]any{"scope": "submit"}), status: 403, problem: "scope-missing"},
		{name: "list as XML", operation: listing, call: withHeader(at("/v1/rubrics"), "Accept", "application/xml"), status: 406, problem: "not-acceptable"},
		{name: "list too often", operation: listing, config: oneAtATime, arrange: spent("/v1/rubrics"), call: at("/v1/rubrics"), status: 429, problem: "too-many-requests"},
		{name: "list, verifier panics", operation: listing, config: panicInVerifier, call: at("/v1/rubrics"), status: 500, problem: "internal-error"},
		{name: "list, keys gone", operation: listing, config: keysGone, call: at("/v1/rubrics"), status: 503, problem: "keys-unavailable"},

		{name: "by quiz", operation: one, call: at("/v1/rubrics/garden-plots"), status: 200},
		{name: "by escaped digest, unknown", operation: one, call: at("/v1/rubrics/sha256%3A" + strings.Repeat("0", 64)), status: 404, problem: "not-found"},
		{name: "not an id", operation: one, call: at("/v1/rubrics/Garden%20Plots"), status: 400, problem: "malformed-request"},
		{name: "dots", operation: one, call: at("/v1/rubrics/..%2f..%2fetc"), status: 400, problem: "malformed-request"},
		{name: "one without token", operation: one, call: noToken(at("/v1/rubrics/garden-plots")), status: 401, problem: "token-missing"},
		{name: "one with submit only", operation: one, call: withClaims(at("/v1/rubrics/garden-plots"), map[string]any{"scope": "submit"}), status: 403, problem: "scope-missing"},
		{name: "unknown", operation: one, call: at("/v1/rubrics/roof-gardens"), status: 404, problem: "not-found"},
		{name: "one as XML", operation: one, call: withHeader(at("/v1/rubrics/garden-plots"), "Accept", "application/xml"), status: 406, problem: "not-acceptable"},
		{name: "one too often", operation: one, config: oneAtATime, arrange: spent("/v1/rubrics"), call: at("/v1/rubrics/garden-plots"), status: 429, problem: "too-many-requests"},
		{name: "one, verifier panics", operation: one, config: panicInVerifier, call: at("/v1/rubrics/garden-plots"), status: 500, problem: "internal-error"},
		{name: "one, keys gone", operation: one, config: keysGone, call: at("/v1/rubrics/garden-plots"), status: 503, problem: "keys-unavailable"},

		{name: "schema", operation: schemaOf, call: noToken(at("/v1/rubric-schema")), status: 200, header: map[string]string{"Content-Type": "application/schema+json", "Cache-Control": "public, max-age=600"}},
		{name: "schema as text", operation: schemaOf, call: withHeader(at("/v1/rubric-schema"), "Accept", "text/plain"), status: 406, problem: "not-acceptable"},
		{name: "keys", operation: keySet, call: noToken(at("/.well-known/jwks.json")), status: 200, header: map[string]string{"Content-Type": "application/jwk-set+json", "Cache-Control": "public, max-age=600"}},
		{name: "keys as plain JSON", operation: keySet, call: withHeader(at("/.well-known/jwks.json"), "Accept", "application/json"), status: 200},
		{name: "keys as text", operation: keySet, call: withHeader(at("/.well-known/jwks.json"), "Accept", "text/plain"), status: 406, problem: "not-acceptable"},
		{name: "alive", operation: health, call: noToken(at("/healthz")), status: 200, header: map[string]string{"Content-Type": "application/health+json"}},
		{name: "alive as text", operation: health, call: withHeader(at("/healthz"), "Accept", "text/plain"), status: 406, problem: "not-acceptable"},
		{name: "ready", operation: ready, call: noToken(at("/readyz")), status: 200},
		{name: "no rubric", operation: ready, config: func(c *api.Config) { c.Rubrics = api.OpenRubrics("testdata/none", fullMarks, nil) }, call: at("/readyz"), status: 503, header: map[string]string{"Content-Type": "application/health+json"}},
		{name: "ready as text", operation: ready, call: withHeader(at("/readyz"), "Accept", "text/plain"), status: 406, problem: "not-acceptable"},
		{name: "contract", operation: theYAML, call: noToken(at("/openapi.yaml")), status: 200, header: map[string]string{"Content-Type": "application/yaml"}},
		{name: "contract as text", operation: theYAML, call: withHeader(at("/openapi.yaml"), "Accept", "text/plain"), status: 406, problem: "not-acceptable"},
	}
	return append(append(all, receiptRows()...), batchRows()...)
}

func TestStatusCodes(t *testing.T) {
	shared := newCircle(t)
	for _, r := range rows() {
		t.Run(fmt.Sprintf("%d/%s/%s", r.status, r.operation, r.name), func(t *testing.T) {
			c := *shared
			c.t = t
			if r.config != nil {
				c = *newCircle(t, r.config)
			} else if r.fresh {
				c = *newCircle(t)
			}
			if r.arrange != nil {
				r.arrange(&c)
			}
			answer := c.do(r.call(&c))
			require.Equal(t, r.status, answer.status, "%s", answer.body)
			if r.problem != "" {
				assert.Equal(t, r.problem, answer.problem(t))
			}
			for name, want := range r.header {
				got := answer.header.Get(name)
				if want == "*" {
					assert.NotEmpty(t, got, name)
				} else {
					assert.Equal(t, want, got, name)
				}
			}
			if r.pointers != nil {
				assert.Equal(t, r.pointers, answer.pointers(t))
			}
		})
	}
}

// untabled are answers that other tests get, because they need more than one request.
var untabled = map[string]string{
	marking + " 408": "TestASlowBodyIsGivenUp",
	redeem + " 408":  "TestASlowBodyIsGivenUp",
}

// Every status that the contract lists for an operation has a row above, or is an inner fault of a route that does
// nothing that could fail.
func TestEveryDocumentedStatusIsTested(t *testing.T) {
	tested := map[string]bool{}
	for _, r := range rows() {
		tested[fmt.Sprintf("%s %d", r.operation, r.status)] = true
	}
	for key := range untabled {
		tested[key] = true
	}
	fixed := map[string]bool{schemaOf: true, keySet: true, health: true, ready: true, theYAML: true}
	documented := map[string]bool{}
	for path, item := range theContract(t).Paths.Map() {
		for method, operation := range item.Operations() {
			for status := range operation.Responses.Map() {
				if status == "500" && fixed[method+" "+path] {
					continue
				}
				documented[method+" "+path+" "+status] = true
			}
		}
	}
	assert.Equal(t, documented, tested)
}
