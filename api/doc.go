// Package api is the JSON API of openapi.yaml: it checks who calls, reads a submission strictly, has it marked, and
// has the score delivered.
//
// The contract decides. Routes, scopes, header fields and bodies are checked against the embedded openapi.yaml, so a
// route without a contract cannot exist and a route without an open entry cannot be called without a token.
//
// Nothing is kept: no store, no cache of answers, no queue. Logs hold request and trace ids, route patterns, status,
// durations and codes of closed sets; never answers, pupil ids, line items or tokens.
//
// Not covered: launches, attempts and deadlines (they are the platform's), TLS (a listener may bring it), metrics.
//
// Where things are, in the order in which a request passes them: server.go starts and stops; exchange.go gives it an id,
// a trace (trace.go) and a line in the log, and catches panics; contract.go finds its operation; admit.go decides on the
// token and the rate (rate.go); negotiate.go on media types; body.go reads it and strictjson.go decodes it; validate.go
// holds it against the contract; submit.go runs a submission through permission.go, the store of rubrics.go, the marking,
// and deliver.go with score.go or event.go; batch.go does so for many (lines.go, places.go), and receipt.go delivers what could not be
// delivered before; reply.go has the result in the words of the contract, and problem.go, with
// all wording of errors, everything else; encode.go writes JSON. The other routes are in documents.go and health.go.
package api
