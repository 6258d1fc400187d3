package api_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"
	"github.com/getkin/kin-openapi/routers/legacy"
	"github.com/labstack/echo/v4"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/api"
	"squaremark/api/contract"
)

var loadContract = sync.OnceValues(func() (*openapi3.T, error) {
	document, err := openapi3.NewLoader().LoadFromData(contract.Document())
	if err != nil {
		return nil, err
	}
	return document, document.Validate(context.Background())
})

var errNotOfHTTP = errors.New("not a method that a contract can list")

var loadRouter = sync.OnceValues(func() (routers.Router, error) {
	document, err := loadContract()
	if err != nil {
		return nil, err
	}
	return legacy.NewRouter(document)
})

func theContract(t *testing.T) *openapi3.T {
	t.Helper()
	document, err := loadContract()
	require.NoError(t, err)
	return document
}

// checkAnswer holds an answer against the contract: its status must be listed, header fields and body must fit. Where
// the contract lists no such route, the answer must be a problem.
func checkAnswer(t *testing.T, request *http.Request, answer *http.Response, body []byte) {
	t.Helper()
	document := theContract(t)
	router, err := loadRouter()
	require.NoError(t, err)
	plain := *request.URL
	plain.Scheme, plain.Host = "", ""
	sought := &http.Request{Method: request.Method, URL: &plain, Header: request.Header}
	var route *routers.Route
	var parameters map[string]string
	if err = errNotOfHTTP; request.Method != "PROPFIND" { // the library panics on methods it does not know
		route, parameters, err = router.FindRoute(sought)
	}
	if err != nil || strings.HasSuffix(plain.Path, "/") {
		assert.Contains(t, []int{http.StatusNotFound, http.StatusMethodNotAllowed}, answer.StatusCode)
		if request.Method != http.MethodHead {
			checkBody(t, document.Components.Schemas["Problem"].Value, body)
		}
		return
	}
	validate(t, route, parameters, sought, answer, body)
}

func validate(t *testing.T, route *routers.Route, parameters map[string]string, request *http.Request, answer *http.Response, body []byte) {
	t.Helper()
	err := openapi3filter.ValidateResponse(context.Background(), &openapi3filter.ResponseValidationInput{
		RequestValidationInput: &openapi3filter.RequestValidationInput{Request: request, PathParams: parameters, Route: route},
		Status:                 answer.StatusCode,
		Header:                 answer.Header,
		Body:                   io.NopCloser(bytes.NewReader(body)),
		Options:                &openapi3filter.Options{IncludeResponseStatus: true, MultiError: true},
	})
	assert.NoError(t, err, "%s %s: %d %s", request.Method, request.URL, answer.StatusCode, body)
}

func checkBody(t *testing.T, schema *openapi3.Schema, body []byte) {
	t.Helper()
	value, err := openapi3filter.JSONBodyDecoder(bytes.NewReader(body), http.Header{}, schema.NewRef(), nil)
	require.NoError(t, err, "%s", body)
	assert.NoError(t, schema.VisitJSON(value, openapi3.MultiErrors(), openapi3.EnableFormatValidation()), "%s", body)
}

// The check that every answer in these tests goes through refuses what the contract does not allow.
func TestTheCheckOfAnswersCanFail(t *testing.T) {
	c := newCircle(t)
	k := good(c)
	request, err := http.NewRequest(k.method, c.url+k.path, nil)
	require.NoError(t, err)
	right := string(c.do(k).body)
	header := http.Header{"Content-Type": {"application/json"}, "Cache-Control": {"no-store"}, "X-Request-Id": {strings.Repeat("0", 32)}}
	refuses := func(status int, header http.Header, body string) bool {
		probe := &testing.T{}
		checkAnswer(probe, request, &http.Response{StatusCode: status, Header: header}, []byte(body))
		return probe.Failed()
	}
	assert.False(t, refuses(200, header, right))
	for name, wrong := range map[string]string{
		"unknown member": strings.Replace(right, `{"delivery"`, `{"more":1,"delivery"`, 1),
		"decimal marks":  strings.Replace(right, `"total":"`, `"total":"0.5`, 1),
		"missing member": strings.Replace(right, `"provisional":false`, `"provisionally":false`, 1),
		"unknown kind":   strings.Replace(right, `"integers"`, `"essay"`, 1),
		"null list":      strings.Replace(right, `"feedback":[]`, `"feedback":null`, 1),
	} {
		require.NotEqual(t, right, wrong, name)
		assert.True(t, refuses(200, header, wrong), name)
	}
	assert.True(t, refuses(202, header, right), "another status")
	header.Del("Cache-Control")
	assert.True(t, refuses(200, header, right), "a header field is missing")
}

func TestMain(m *testing.M) {
	for _, kind := range []string{"application/jwk-set+json", "application/schema+json", "application/health+json"} {
		openapi3filter.RegisterBodyDecoder(kind, openapi3filter.JSONBodyDecoder)
	}
	for _, kind := range []string{"application/yaml", "application/jsonl"} {
		openapi3filter.RegisterBodyDecoder(kind, func(body io.Reader, _ http.Header, _ *openapi3.SchemaRef, _ openapi3filter.EncodingFn) (any, error) {
			text, err := io.ReadAll(body)
			return string(text), err
		})
	}
	os.Exit(m.Run())
}

func TestTheContractIsServedAsItStandsAtTheTop(t *testing.T) {
	top, err := os.ReadFile("../openapi.yaml")
	require.NoError(t, err)
	assert.Equal(t, string(top), string(contract.Document()))
	c := newCircle(t)
	assert.Equal(t, string(top), string(c.do(c.get("/openapi.yaml")).body))
}

func TestGeneratedCodeIsCurrent(t *testing.T) {
	committed, err := os.ReadFile("contract/contract.gen.go")
	require.NoError(t, err)
	root, err := filepath.Abs("..")
	require.NoError(t, err)
	tool, err := exec.Command("go", "tool", "-n", "oapi-codegen").Output()
	require.NoError(t, err)
	fresh := exec.Command(strings.TrimSpace(string(tool)), "-config", filepath.Join(root, "api/contract/oapi-codegen.yaml"), filepath.Join(root, "openapi.yaml"))
	fresh.Dir = t.TempDir()
	message, err := fresh.CombinedOutput()
	require.NoError(t, err, "%s", message)
	again, err := os.ReadFile(filepath.Join(fresh.Dir, "contract.gen.go"))
	require.NoError(t, err)
	assert.Equal(t, string(committed), string(again), "run go generate ./api/...")
}

func TestRoutesAreThoseOfTheContract(t *testing.T) {
	documented := map[string]bool{}
	for path, item := range theContract(t).Paths.Map() {
		for method := range item.Operations() {
			documented[method+" "+strings.NewReplacer("{", ":", "}", "").Replace(path)] = true
		}
	}
	e := echo.New()
	contract.RegisterHandlers(e, contract.NewStrictHandler(nil, nil))
	served := map[string]bool{}
	for _, route := range e.Routes() {
		served[route.Method+" "+route.Path] = true
	}
	assert.Equal(t, documented, served)
}

func TestEveryDocumentedRouteAnswersAndNoOther(t *testing.T) {
	c := newCircle(t)
	for path, item := range theContract(t).Paths.Map() {
		address := strings.ReplaceAll(path, "{id}", "garden-plots")
		for _, method := range []string{"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE"} {
			k := c.get(address)
			k.method = method
			status := c.do(k).status
			if _, documented := item.Operations()[method]; documented {
				assert.NotContains(t, []int{404, 405}, status, "%s %s", method, path)
			} else {
				assert.Equal(t, http.StatusMethodNotAllowed, status, "%s %s", method, path)
			}
		}
	}
	for _, path := range []string{"/", "/v1", "/v1/", "/v1/rubrics/", "/metrics", "/debug/pprof/", "/v2/submissions", "/v1/submissions/1", "/.well-known/", "//healthz"} {
		assert.Equal(t, http.StatusNotFound, c.do(c.get(path)).status, path)
	}
}

func TestRoutesAreClosedUnlessTheContractOpensThem(t *testing.T) {
	c := newCircle(t)
	open := []string{}
	for path, item := range theContract(t).Paths.Map() {
		for method, operation := range item.Operations() {
			k := call{method: method, path: strings.ReplaceAll(path, "{id}", "garden-plots"), header: http.Header{}}
			status := c.do(k).status
			if operation.Security != nil && len(*operation.Security) == 0 {
				open = append(open, path)
				assert.Equal(t, http.StatusOK, status, path)
			} else {
				assert.Equal(t, http.StatusUnauthorized, status, path)
			}
		}
	}
	slices.Sort(open)
	assert.Equal(t, []string{"/.well-known/jwks.json", "/healthz", "/openapi.yaml", "/readyz", "/v1/rubric-schema"}, open)
}

func TestProblemTypesAreThoseOfTheContract(t *testing.T) {
	documented := []string{}
	for _, value := range theContract(t).Components.Schemas["ProblemType"].Value.Enum {
		documented = append(documented, value.(string))
	}
	catalogue, titles := []string{}, map[string]bool{}
	for _, info := range api.ProblemCatalogue() {
		catalogue = append(catalogue, string(info.Type))
		titles[info.Title] = true
		kind, err := url.Parse(string(info.Type))
		require.NoError(t, err)
		assert.True(t, kind.IsAbs())
		assert.GreaterOrEqual(t, info.Status, 400)
	}
	assert.Equal(t, documented, catalogue)
	for _, info := range api.ProblemCatalogue() {
		row := fmt.Sprintf("| %s | %d | %s |\n", path.Base(string(info.Type)), info.Status, info.Title)
		assert.Contains(t, theContract(t).Components.Schemas["ProblemType"].Value.Description, row)
	}
	assert.Len(t, titles, len(catalogue), "titles tell the types apart")
}

// Every example of the contract fits its own schema.
func TestExamplesFitTheirSchemas(t *testing.T) {
	count := 0
	check := func(where string, content openapi3.Content) {
		for _, medium := range content {
			for name, example := range medium.Examples {
				count++
				err := medium.Schema.Value.VisitJSON(example.Value.Value, openapi3.MultiErrors(), openapi3.EnableFormatValidation())
				assert.NoError(t, err, "%s: %s", where, name)
			}
		}
	}
	document := theContract(t)
	for _, items := range []map[string]*openapi3.PathItem{document.Paths.Map(), document.Webhooks} {
		for where, item := range items {
			for _, operation := range item.Operations() {
				if operation.RequestBody != nil {
					check(where, operation.RequestBody.Value.Content)
				}
				for status, answer := range operation.Responses.Map() {
					check(where+" "+status, answer.Value.Content)
				}
			}
		}
	}
	assert.GreaterOrEqual(t, count, 5)
}

// Every object that can be sent to the service refuses members that it does not know.
func TestRequestSchemasAreClosed(t *testing.T) {
	seen := map[*openapi3.Schema]bool{}
	var walk func(name string, ref *openapi3.SchemaRef)
	walk = func(name string, ref *openapi3.SchemaRef) {
		if ref == nil || seen[ref.Value] {
			return
		}
		seen[ref.Value] = true
		schema := ref.Value
		if schema.Type.Is("object") {
			closed := schema.AdditionalProperties.Has != nil && !*schema.AdditionalProperties.Has
			assert.True(t, closed || schema.AdditionalProperties.Schema != nil, name)
		}
		if schema.Type.Is("string") && len(schema.Enum) == 0 && !strings.HasPrefix(schema.Pattern, "^sha256:") {
			assert.NotNil(t, schema.MaxLength, "%s has no longest length", name)
		}
		for _, property := range slices.Sorted(maps.Keys(schema.Properties)) {
			walk(name+"."+property, schema.Properties[property])
		}
		walk(name+"{}", schema.AdditionalProperties.Schema)
		walk(name+"[]", schema.Items)
		for _, one := range schema.OneOf {
			walk(name+"|", one)
		}
	}
	for path, item := range theContract(t).Paths.Map() {
		for _, operation := range item.Operations() {
			if operation.RequestBody != nil {
				for _, content := range operation.RequestBody.Value.Content {
					walk(path, content.Schema)
				}
			}
		}
	}
	assert.Greater(t, len(seen), 12)
}
