package api

import (
	"cmp"
	"errors"
	"regexp"
	"slices"
	"strings"
	"time"

	"github.com/getkin/kin-openapi/openapi3"

	"squaremark/api/contract"
)

// maxFaults is how many places one problem names.
const maxFaults = 20

// validate holds a decoded body against its schema. Each fault has the JSON Pointer of its place and a reason from
// the contract; neither the value nor a name that the contract does not know is repeated.
//
// Source: JSON Schema 2020-12 (the keywords that openapi.yaml uses); RFC 6901.
func validate(schema *openapi3.Schema, value any) []contract.FieldError {
	err := schema.VisitJSON(value, openapi3.MultiErrors(), openapi3.VisitAsRequest(), openapi3.EnableFormatValidation(),
		openapi3.WithStringFormatValidator("date-time", instantFormat{}))
	if err == nil {
		return nil
	}
	faults := onePerPlace(fieldErrors(err))
	return faults[:min(len(faults), maxFaults)]
}

// onePerPlace sorts by place and keeps one reason for each.
func onePerPlace(faults []contract.FieldError) []contract.FieldError {
	slices.SortFunc(faults, func(a, b contract.FieldError) int {
		return cmp.Or(strings.Compare(a.Pointer, b.Pointer), strings.Compare(a.Reason, b.Reason))
	})
	return slices.CompactFunc(faults, func(a, b contract.FieldError) bool { return a.Pointer == b.Pointer })
}

// instantFormat is RFC 3339 as the rest of the service reads it: with zone, on the calendar, in the years 1 to 9999.
type instantFormat struct{}

// Validate implements the check of a string format.
func (instantFormat) Validate(text string) error {
	at, err := time.Parse(time.RFC3339Nano, text)
	if err != nil || at.UTC().Year() < 1 || at.UTC().Year() > 9999 {
		return errors.New("not an instant")
	}
	return nil
}

func fieldErrors(err error) []contract.FieldError {
	var many openapi3.MultiError
	var one *openapi3.SchemaError
	switch e := err.(type) {
	case openapi3.MultiError:
		many = e
	case *openapi3.SchemaError:
		one = e
	default:
		return []contract.FieldError{{Reason: "does not fit the contract"}}
	}
	if one != nil {
		if one.SchemaField == "oneOf" {
			return alternatives(one)
		}
		return []contract.FieldError{fieldError(one)}
	}
	var all []contract.FieldError
	for _, e := range many {
		all = append(all, fieldErrors(e)...)
	}
	return all
}

// alternatives reports on the alternative whose type fits, if there is one: a chain with a broken line is told about
// the line.
func alternatives(one *openapi3.SchemaError) []contract.FieldError {
	pointer := one.JSONPointer()
	var inside []contract.FieldError
	for _, e := range branches(one.Origin) {
		if s, ok := e.(*openapi3.SchemaError); ok && s.SchemaField == "type" && len(s.JSONPointer()) <= len(pointer) {
			continue
		}
		inside = append(inside, fieldErrors(e)...)
	}
	if len(inside) == 0 {
		return []contract.FieldError{{Pointer: jsonPointer(pointer), Reason: "expected a text or a list of lines"}}
	}
	return inside
}

// branches are the faults of each alternative.
func branches(err error) []error {
	for ; err != nil; err = errors.Unwrap(err) {
		if many, ok := err.(openapi3.MultiError); ok {
			return many
		}
	}
	return nil
}

func fieldError(e *openapi3.SchemaError) contract.FieldError {
	path := e.JSONPointer()
	reason := "does not fit the contract"
	switch e.SchemaField {
	case "required":
		reason = "is missing"
	case "properties":
		reason = "holds a member that the contract does not know"
	case "type":
		reason = "expected " + strings.Join(e.Schema.Type.Slice(), " or ")
	case "minProperties", "maxProperties":
		reason = "holds too few or too many members"
	case "minLength":
		reason = "is too short"
	case "maxLength":
		reason = "is too long"
	case "maxItems":
		reason = "has too many entries"
	case "pattern", "format":
		reason = "is not in its form"
	case "enum":
		reason = "is not one of the values of the contract"
	}
	return contract.FieldError{Pointer: jsonPointer(path), Reason: reason}
}

// plainName is what the names of the contract and the ids of questions look like.
var plainName = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9_-]{0,63}$`)

// jsonPointer ends before the first part that is not a plain name, so that no text from outside gets into it.
func jsonPointer(path []string) string {
	var pointer strings.Builder
	for _, part := range path {
		if !plainName.MatchString(part) {
			break
		}
		pointer.WriteString("/" + part)
	}
	return pointer.String()
}
