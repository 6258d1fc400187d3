// Package contract is openapi.yaml as Go: the types of its bodies, the interface that a server of it fulfils, and
// the document itself. Everything but this file is generated from the file at the top of the repository.
package contract

import _ "embed"

//go:generate go tool oapi-codegen -config oapi-codegen.yaml ../../openapi.yaml
//go:generate cp ../../openapi.yaml openapi.yaml

//go:embed openapi.yaml
var document []byte

// Document is the contract's own bytes. The caller gets a copy.
func Document() []byte { return append([]byte(nil), document...) }
