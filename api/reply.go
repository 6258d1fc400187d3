package api

import (
	"math/big"
	"net/http"
	"strings"

	"squaremark/api/contract"
	"squaremark/grader"
)

// markedAnswer is the 200 answer. It writes JSON without escaping the signs of inequalities.
type markedAnswer struct{ contract.MarkedSubmission }

// VisitMarkSubmissionResponse implements the generated interface.
func (a markedAnswer) VisitMarkSubmissionResponse(w http.ResponseWriter) error {
	return writeJSON(w, http.StatusOK, "application/json", a.MarkedSubmission)
}

// exact writes a number of marks: "3", or "3/2" in lowest terms.
func exact(x *big.Rat) string {
	if x == nil {
		return "0"
	}
	return x.RatString()
}

// markedSubmission puts a result into the words of the contract.
func markedSubmission(r *grader.Result, d contract.Delivery) contract.MarkedSubmission {
	return contract.MarkedSubmission{
		Quiz: r.Quiz, RubricDigest: r.RubricDigest, EngineVersion: r.EngineVersion,
		Marks: exact(r.Marks), Total: exact(r.Total), Provisional: r.Provisional, NeedsPerson: r.NeedsPerson,
		Questions: each(r.Questions, markedQuestion), Delivery: d,
	}
}

func markedQuestion(q grader.QuestionResult) contract.MarkedQuestion {
	return contract.MarkedQuestion{
		ID: q.ID, Kind: contract.Kind(q.Kind), Answered: q.Answered, Marks: exact(q.Marks), Total: exact(q.Total),
		NeedsPerson: q.NeedsPerson, Understood: q.Understood,
		Criteria: each(q.Criteria, markedCriterion), Findings: each(q.Findings, finding), Feedback: each(q.Feedback, feedback),
	}
}

func markedCriterion(c grader.CriterionResult) contract.MarkedCriterion {
	return contract.MarkedCriterion{
		ID: c.ID, Type: contract.MarkedCriterionType(c.Type), Awarded: exact(c.Awarded), Of: exact(c.Of),
		NeedsPerson: c.NeedsPerson, Because: c.Because,
	}
}

func finding(f grader.Finding) contract.Finding {
	out := contract.Finding{
		Code: f.Code, State: contract.FindingState(hyphenated(f.State)), Detail: f.Detail, Slip: f.Slip, Place: placeOf(f.Place),
	}
	if f.Evidence != nil {
		out.Evidence = contract.Evidence{
			Kind: evidenceKind(f.Evidence.Kind), Text: f.Evidence.Text, Left: f.Evidence.Left, Right: f.Evidence.Right,
		}
		for _, v := range f.Evidence.Witness {
			out.Evidence.Witness = append(out.Evidence.Witness, contract.Value{Name: v.Name, Value: v.Value})
		}
	}
	return out
}

// evidenceKind takes the engine's kinds to those of the contract, which says "other" for a kind that it does not know.
func evidenceKind(kind string) contract.EvidenceKind {
	if kind == "point" {
		return contract.Witness
	}
	if known := contract.EvidenceKind(hyphenated(kind)); known.Valid() {
		return known
	}
	return contract.Other
}

func hyphenated(words string) string { return strings.ReplaceAll(words, " ", "-") }

func feedback(f grader.Feedback) contract.Feedback {
	return contract.Feedback{Criterion: f.Criterion, Sentence: f.Sentence, Place: placeOf(f.Place)}
}

func placeOf(p *grader.Place) contract.Place {
	if p == nil {
		return contract.Place{}
	}
	return contract.Place{ChainLine: p.ChainLine, Line: max(p.Line, 1), Column: max(p.Column, 1), Text: p.Text}
}

// each never gives nil: an empty list is [] in JSON.
func each[From, To any](list []From, convert func(From) To) []To {
	out := make([]To, len(list))
	for i, one := range list {
		out[i] = convert(one)
	}
	return out
}
