package api

import (
	"context"
	"fmt"
	"net/http"

	"squaremark/api/contract"
)

// healthAnswer is a health document with the status code that fits it.
type healthAnswer struct{ contract.Health }

func (a healthAnswer) write(w http.ResponseWriter) error {
	status := http.StatusOK
	if a.Status == contract.Fail {
		status = http.StatusServiceUnavailable
	}
	return writeJSON(w, status, "application/health+json", a.Health)
}

// VisitGetHealthResponse implements the generated interface.
func (a healthAnswer) VisitGetHealthResponse(w http.ResponseWriter) error { return a.write(w) }

// VisitGetReadinessResponse implements the generated interface.
func (a healthAnswer) VisitGetReadinessResponse(w http.ResponseWriter) error { return a.write(w) }

// GetHealth says that the process answers; it asks nobody else.
func (s *Server) GetHealth(context.Context, contract.GetHealthRequestObject) (contract.GetHealthResponseObject, error) {
	return healthAnswer{contract.Health{Status: contract.Pass}}, nil
}

// GetReadiness says whether submissions can be sent here: not while stopping, and not without a usable rubric. Rubric
// files that are kept out are a warning with file and place; what is wrong with them is in the log, because this
// document is open and a message could quote a model answer. Platforms that do not answer play no part.
//
// Source: draft-inadarei-api-health-check-06, sections 3 and 4 (an expired draft).
func (s *Server) GetReadiness(context.Context, contract.GetReadinessRequestObject) (contract.GetReadinessResponseObject, error) {
	shelf := s.rubrics.shelf.Load()
	checks := []contract.HealthCheck{{Status: contract.Pass, ObservedValue: len(shelf.newest), ObservedUnit: "rubrics"}}
	health := contract.Health{Status: contract.Pass}
	for _, d := range shelf.defects {
		health.Status = contract.Warn
		checks = append(checks, contract.HealthCheck{Status: contract.Warn, Output: d.String()})
	}
	if len(shelf.newest) == 0 {
		health.Status, health.Output = contract.Fail, "no rubric can be used"
		checks[0].Status = contract.Fail
	}
	if s.stopping.Load() {
		health.Status, health.Output = contract.Fail, "stopping"
	}
	health.Checks = map[string][]contract.HealthCheck{"rubrics": checks}
	return healthAnswer{health}, nil
}

func (d defect) String() string {
	if d.line == 0 {
		return d.file + " is kept out"
	}
	return fmt.Sprintf("%s is kept out: line %d, column %d", d.file, d.line, d.column)
}
