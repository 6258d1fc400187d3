package api

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"slices"

	"squaremark/api/contract"
	"squaremark/grader/rubric"
)

// maxAge is how long public documents may be reused. Keys are rotated by publishing them for longer than this before
// they sign.
const maxAge = "public, max-age=600"

// document is a fixed text with its media type.
type document struct {
	mediaType string
	text      []byte
}

func (d document) write(w http.ResponseWriter) error {
	w.Header().Set("Cache-Control", maxAge)
	return writeBytes(w, http.StatusOK, d.mediaType, d.text)
}

// VisitGetContractResponse implements the generated interface.
func (d document) VisitGetContractResponse(w http.ResponseWriter) error { return d.write(w) }

// VisitGetRubricSchemaResponse implements the generated interface.
func (d document) VisitGetRubricSchemaResponse(w http.ResponseWriter) error { return d.write(w) }

// VisitGetKeySetResponse implements the generated interface.
func (d document) VisitGetKeySetResponse(w http.ResponseWriter) error { return d.write(w) }

// GetContract serves openapi.yaml as it is.
func (s *Server) GetContract(context.Context, contract.GetContractRequestObject) (contract.GetContractResponseObject, error) {
	return document{"application/yaml", contract.Document()}, nil
}

// GetRubricSchema serves the JSON Schema of rubric files.
func (s *Server) GetRubricSchema(context.Context, contract.GetRubricSchemaRequestObject) (contract.GetRubricSchemaResponseObject, error) {
	return document{"application/schema+json", rubric.Schema()}, nil
}

// GetKeySet serves the public keys of this service.
func (s *Server) GetKeySet(context.Context, contract.GetKeySetRequestObject) (contract.GetKeySetResponseObject, error) {
	return document{"application/jwk-set+json", s.parties.Load().keys}, nil
}

// publicKeys joins the key sets of all platforms, each key once. Only the members of the contract are taken over.
//
// Source: RFC 7517, section 5.
func publicKeys(platforms []Platform) ([]byte, error) {
	joined := contract.KeySet{Keys: []contract.PublicKey{}}
	seen := map[string]bool{}
	for _, p := range platforms {
		text, err := p.Registration.Keys.PublicJWKS()
		if err != nil {
			return nil, fmt.Errorf("api: the public keys for %q cannot be written: %w", p.Registration.Issuer, err)
		}
		var set contract.KeySet
		if err := json.Unmarshal(text, &set); err != nil {
			return nil, fmt.Errorf("api: the public keys for %q cannot be read: %w", p.Registration.Issuer, err)
		}
		for _, key := range set.Keys {
			if !seen[key.Kid] {
				seen[key.Kid] = true
				joined.Keys = append(joined.Keys, key)
			}
		}
	}
	return encodeJSON(joined)
}

// ListRubrics serves the public faces of the newest rubrics that the caller may see.
func (s *Server) ListRubrics(ctx context.Context, _ contract.ListRubricsRequestObject) (contract.ListRubricsResponseObject, error) {
	ex := exchangeOf(ctx)
	seen := slices.DeleteFunc(s.rubrics.shelf.Load().all(), func(one *loaded) bool { return !ex.partner.sees(one) })
	return contract.ListRubrics200JSONResponse{
		Body:    contract.RubricList{Rubrics: each(seen, publicFace)},
		Headers: contract.ListRubrics200ResponseHeaders{CacheControl: "no-store", XRequestID: ex.id},
	}, nil
}

// GetRubric serves one public face, by quiz id or digest. A quiz id holds no colon, so the two cannot be confused.
func (s *Server) GetRubric(ctx context.Context, request contract.GetRubricRequestObject) (contract.GetRubricResponseObject, error) {
	shelf := s.rubrics.shelf.Load()
	one := shelf.find(request.ID, "")
	if one == nil {
		one = shelf.find("", request.ID)
	}
	if one == nil || !exchangeOf(ctx).partner.sees(one) {
		return nil, problem(contract.ProblemTypeNotFound, "GET /v1/rubrics lists the quizzes that can be marked.")
	}
	return contract.GetRubric200JSONResponse{
		Body:    publicFace(one),
		Headers: contract.GetRubric200ResponseHeaders{CacheControl: "no-store", XRequestID: exchangeOf(ctx).id},
	}, nil
}

// publicFace leaves out everything that would help to guess an answer.
func publicFace(one *loaded) contract.Rubric {
	return contract.Rubric{
		Quiz: one.Quiz.Value, Title: one.Title.Value, Digest: one.Digest, Total: exact(one.Total),
		Questions: each(one.Questions, func(q *rubric.Question) contract.RubricQuestion {
			return contract.RubricQuestion{ID: q.ID.Value, Kind: contract.Kind(q.Kind), Total: exact(q.Total)}
		}),
	}
}
