package api

import (
	"context"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/routers"
	"github.com/labstack/echo/v4"

	"squaremark/api/contract"
)

// operation is one entry of the contract, made ready for checking requests.
type operation struct {
	route    *routers.Route
	security openapi3.SecurityRequirements
	offers   []string         // media types of its answers
	takes    string           // media type of its body, "" where there is none
	body     *openapi3.Schema // of a JSON body, which is checked before the handler sees it
}

// operations are the contract by method and echo's path pattern.
type operations map[string]*operation

func loadOperations(ctx context.Context) (operations, error) {
	loader := openapi3.NewLoader()
	document, err := loader.LoadFromData(contract.Document())
	if err != nil {
		return nil, fmt.Errorf("api: the contract cannot be read: %w", err)
	}
	if err := document.Validate(ctx); err != nil {
		return nil, fmt.Errorf("api: the contract is not valid: %w", err)
	}
	all := operations{}
	for path, item := range document.Paths.Map() {
		for method, entry := range item.Operations() {
			all[operationKey(method, echoPath(path))] = newOperation(document, path, item, method, entry)
		}
	}
	return all, nil
}

func newOperation(document *openapi3.T, path string, item *openapi3.PathItem, method string, entry *openapi3.Operation) *operation {
	op := &operation{
		route:    &routers.Route{Spec: document, Path: path, PathItem: item, Method: method, Operation: entry},
		security: document.Security, // what an operation says nothing about is closed
	}
	if entry.Security != nil {
		op.security = *entry.Security
	}
	if success := entry.Responses.Status(http.StatusOK); success != nil {
		op.offers = slices.Sorted(maps.Keys(success.Value.Content))
	}
	if entry.RequestBody != nil {
		for mediaType, content := range entry.RequestBody.Value.Content { // the contract has one each
			op.takes = mediaType
			if mediaType == "application/json" {
				op.body = content.Schema.Value
			}
		}
	}
	return op
}

func operationKey(method, pattern string) string { return method + " " + pattern }

var braces = regexp.MustCompile(`\{([^}]*)\}`)

func echoPath(path string) string { return braces.ReplaceAllString(path, ":$1") }

// of is the operation that a routed request belongs to, or nil.
func (all operations) of(c echo.Context) *operation {
	return all[operationKey(c.Request().Method, c.Path())]
}

// pattern is a path pattern of the contract, or "none": what a caller asked for in vain is not repeated.
func (all operations) pattern(path string) string {
	for _, op := range all {
		if echoPath(op.route.Path) == path {
			return path
		}
	}
	return "none"
}

// pathParameters are the parameters as the caller means them.
func pathParameters(c echo.Context) map[string]string {
	found := map[string]string{}
	for _, name := range c.ParamNames() {
		value := c.Param(name)
		if c.Request().URL.RawPath != "" {
			if plain, err := url.PathUnescape(value); err == nil {
				value = plain
			}
		}
		found[name] = value
	}
	return found
}

func withoutOptions(allow string) string {
	methods := slices.DeleteFunc(strings.Split(allow, ", "), func(m string) bool { return m == http.MethodOptions })
	return strings.Join(methods, ", ")
}
