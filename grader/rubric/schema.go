package rubric

import _ "embed"

//go:embed rubric.schema.json
var schema []byte

// Schema is the JSON Schema (draft 2020-12) of the format, for editors. It
// accepts what the loader accepts as far as a schema can tell: sums,
// duplicate ids and dependencies are beyond it.
func Schema() []byte { return append([]byte(nil), schema...) }
