package rubric

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func compiled(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("rubric.schema.json", doc))
	s, err := c.Compile("rubric.schema.json")
	require.NoError(t, err)
	return s
}

func valid(t *testing.T, s *jsonschema.Schema, data []byte) (bool, string) {
	t.Helper()
	text, err := yaml.YAMLToJSON(data)
	if err != nil {
		return false, err.Error()
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		return false, err.Error()
	}
	if err := s.Validate(doc); err != nil {
		return false, err.Error()
	}
	return true, ""
}

// beyondSchema are faults that no schema can see: sums, references, places,
// what YAML allows and rubrics do not, mathematics.
var beyondSchema = map[string]bool{
	"wrong-total": true, "duplicate-id": true, "needs-itself": true, "unknown-criterion": true,
	"unknown-variable": true, "no-aliases": true, "not-used": true,
	"unclosed-bracket": true, "unexpected-token": true,
}

// The schema and the loader agree: what the loader accepts, the schema
// accepts; what the loader refuses for a reason that a schema can see, the
// schema refuses.
func TestSchemaAgreesWithLoader(t *testing.T) {
	s := compiled(t)
	for _, name := range append(files(t, "testdata/good/*.yaml"), files(t, "../../deploy/course/*.yaml")...) {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		ok, why := valid(t, s, data)
		assert.True(t, ok, "%s: %s", name, why)
	}
	for _, name := range files(t, "testdata/bad/*.yaml") {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		_, diags := Load(name, data)
		visible := false
		for _, d := range diags {
			visible = visible || !beyondSchema[d.Code]
		}
		ok, _ := valid(t, s, data)
		assert.Equal(t, !visible, ok, name)
	}
}

// Each change of one line in a good file is judged the same way by both.
func TestSchemaAgreesOnSmallFaults(t *testing.T) {
	good, err := os.ReadFile("testdata/good/kinds.yaml")
	require.NoError(t, err)
	s := compiled(t)
	for _, row := range []struct{ old, new string }{
		{"rubric: 1", "rubric: 2"},
		{"rubric: 1", "rubric: \"1\""},
		{"quiz: border-beds", "quiz: Border"},
		{"language: en-GB", "language: e"},
		{"leap: half", "leap: quarter"},
		{"hints: method", "hints: all"},
		{"    hints: none", "    hints: no"},
		{"unreadable: person", "unreadable: half"},
		{"total: 8.5", "total: 17/2"},
		{"total: 8.5", "total: 0"},
		{"total: 8.5", "total: -1"},
		{"kind: integers", "kind: integer"},
		{"variables: {n: integer}", "variables: {n: whole}"},
		{"variables: {n: integer}", "variables: {}"},
		{"variables: {n: integer}", "variables: {n: integer, k: integer}"},
		{"    unknowns: n\n", "    claim: n\n"},
		{"marks: 1\n", "marks: 1/0\n"},
		{"marks: 1\n", "marks: 001.50\n"},
		{"note: One of six.", "note:"},
		{"note: One of six.", "notes: One of six."},
		{"- answer: 1\n", "- answer: [1, 2]\n"},
		{"expression: \"x^2 - 8x + y^2 + 23\"", "claim: x"},
		{"    total: \"1/2\"\n", ""},
		{"type: method", "type: methods"},
		{"worth: 1/4", "worth: 1//4"},
		{"worth: 1/4", "worth: .25"},
		{"for: right-square", "for: complete"},
		{"for: right-square", "for: unreadable"},
		{"for: {all: [equal, square-form]}", "for: {all: [equal, direction]}"},
		{"for: {all: [equal, square-form]}", "for: {all: equal}"},
		{"for: {all: [equal, square-form]}", "for: {all: []}"},
		{"for: {all: [equal, square-form]}", "for: {none: [equal]}"},
		{"follow-through: no", "follow-through: maybe"},
		{"follow-through: no", "follow-through: false"},
		{", moves: [expand]", ""},
		{"for: uses-move", "for: correct"},
		{"    least: x", "    claim: x"},
		{"    least: x", "    greatest: y > 0\n    least: x"},
		{"    equality: a", "    start: claim\n    equality: a"},
		{"for: some-place", "for: equal"},
		{"start: claim", "start: end"},
		{"      - x1\n", ""},
		{"      - x1\n", "      - X1\n"},
		{"at-most: 2", "at-most: two"},
		{"at-most: 2", "most: 2"},
		{"unless: links-written", "unless: equal"},
		{"of: [m1, s1], ", ""},
		{"any: [correct, one-slip]", "any: [correct, conclusion]"},
	} {
		require.Contains(t, string(good), row.old)
		changed := []byte(strings.Replace(string(good), row.old, row.new, 1))
		r, diags := Load("x.yaml", changed)
		ok, why := valid(t, s, changed)
		assert.Equal(t, r != nil, ok, "%q for %q: loader %v, schema %s", row.new, row.old, diags, why)
	}
}

// Every key is described in the schema as in the catalogue, and every finding.
func TestSchemaFollowsCatalogues(t *testing.T) {
	var doc struct {
		Properties map[string]map[string]any `json:"properties"`
		Defs       map[string]struct {
			Properties map[string]any   `json:"properties"`
			OneOf      []map[string]any `json:"oneOf"`
		} `json:"$defs"`
	}
	require.NoError(t, json.Unmarshal(Schema(), &doc))
	described := map[string]string{}
	for name, p := range doc.Properties {
		described["quiz."+name], _ = p["description"].(string)
	}
	for _, part := range []string{"rules", "question", "criterion", "cap", "example"} {
		for name, p := range doc.Defs[part].Properties {
			described[part+"."+name], _ = p.(map[string]any)["description"].(string)
		}
	}
	want := map[string]string{}
	for _, k := range Keys {
		want[k.Of+"."+k.Name] = k.Meaning
	}
	assert.Equal(t, want, described)

	var inSchema, inCatalogue []string
	for _, f := range doc.Defs["finding"].OneOf {
		inSchema = append(inSchema, f["const"].(string)+": "+f["description"].(string))
	}
	for _, f := range Findings {
		if f.Earns {
			inCatalogue = append(inCatalogue, f.Code+": "+f.Meaning)
		}
	}
	sort.Strings(inSchema)
	sort.Strings(inCatalogue)
	assert.Equal(t, inCatalogue, inSchema)
}

// Every description is there: an editor shows it at every key.
func TestSchemaDescribesEverything(t *testing.T) {
	var doc any
	require.NoError(t, json.Unmarshal(Schema(), &doc))
	var walk func(path string, v any)
	walk = func(path string, v any) {
		m, ok := v.(map[string]any)
		if !ok {
			if list, isList := v.([]any); isList && filepath.Base(path) != "allOf" {
				for _, k := range list {
					walk(path, k)
				}
			}
			return
		}
		if props, ok := m["properties"].(map[string]any); ok && m["additionalProperties"] == false {
			for name, p := range props {
				d, _ := p.(map[string]any)["description"].(string)
				assert.NotEmpty(t, d, "%s/%s", path, name)
			}
		}
		for name, k := range m {
			walk(path+"/"+name, k)
		}
	}
	walk("", doc)
}
