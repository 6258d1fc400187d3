// Package judge answers single mathematical questions, one JSON object a
// line: the plain door to the engine, without rubric or network.
//
//	judge.go    one line in, one line out
//	stream.go   many lines, in order, on several cores
//	recheck.go  stored answers, their evidence checked again
//	readings.go how each text was understood
package judge

import (
	"encoding/json"
	"errors"
	"sort"
	"strconv"
	"time"

	"squaremark/algebra"
	"squaremark/algebra/budget"
	"squaremark/algebra/source"
)

// request is one line of input; ask tells which fields are used.
type request struct {
	ID         json.RawMessage   `json:"id"`
	Ask        string            `json:"ask"`
	Variables  map[string]string `json:"variables"`
	Assume     []string          `json:"assume"`
	Statement  string            `json:"statement"`
	Left       string            `json:"left"`
	Right      string            `json:"right"`
	Expression string            `json:"expression"`
	Answer     *string           `json:"answer"`
	Solve      texts             `json:"solve"`
	Unknowns   []string          `json:"unknowns"`
	Claim      string            `json:"claim"`
	Lines      []line            `json:"lines"`
	Start      string            `json:"start"`
}

type line struct {
	Rel  string `json:"rel"`
	Link string `json:"link"`
}

// texts is one text or a list of texts.
type texts []string

// UnmarshalJSON takes a string or a list of strings.
func (t *texts) UnmarshalJSON(data []byte) error {
	var one string
	if json.Unmarshal(data, &one) == nil {
		*t = texts{one}
		return nil
	}
	var many []string
	err := json.Unmarshal(data, &many)
	*t = many
	return err
}

type point map[string]string

// reply is one line of output.
type reply struct {
	ID         json.RawMessage   `json:"id,omitempty"`
	Error      *failure          `json:"error,omitempty"`
	Verdict    string            `json:"verdict,omitempty"`
	Witness    *point            `json:"witness,omitempty"`
	Sides      []string          `json:"sides,omitempty"` // both sides' values at the witness
	Relation   string            `json:"relation,omitempty"`
	Witnesses  map[string]*point `json:"witnesses,omitempty"`
	Equal      *bool             `json:"equal,omitempty"`
	SquareForm *bool             `json:"square_form,omitempty"`
	Remaining  *string           `json:"remaining,omitempty"`
	Solutions  any               `json:"solutions,omitempty"`
	Parsed     any               `json:"parsed,omitempty"`
	Correct    *bool             `json:"correct,omitempty"`
	Missing    any               `json:"missing,omitempty"`
	Extra      any               `json:"extra,omitempty"`
	Steps      []stepReply       `json:"steps,omitempty"`
	Direction  *bool             `json:"direction_ok,omitempty"`
	Reversible *bool             `json:"reversible,omitempty"`
	Concludes  *bool             `json:"concludes,omitempty"`
	Mistakes   []string          `json:"mistakes,omitempty"`
	Evidence   *algebra.Evidence `json:"evidence,omitempty"`
	Reason     string            `json:"reason,omitempty"`
	Notes      []string          `json:"notes,omitempty"`
	Micros     *int64            `json:"micros,omitempty"`

	Readings map[string]understood `json:"readings,omitempty"`
}

type stepReply struct {
	Label     string            `json:"label"`
	Move      string            `json:"move,omitempty"`
	Condition string            `json:"condition,omitempty"`
	Witness   *point            `json:"witness,omitempty"`
	Slip      string            `json:"slip,omitempty"`
	Evidence  *algebra.Evidence `json:"evidence,omitempty"`
	Reason    string            `json:"reason,omitempty"`
	Error     *failure          `json:"error,omitempty"`
}

type failure struct {
	Message string `json:"message"`
	At      *place `json:"at,omitempty"`
}

type place struct {
	Field  string `json:"field"`
	Line   int    `json:"line,omitempty"`
	Column int    `json:"column,omitempty"`
	Text   string `json:"text,omitempty"`
}

// errNotJSON marks a line that is not a JSON object of the expected types.
var errNotJSON = errors.New("the line is not valid JSON")

// answer answers one line. The error is errNotJSON; the reply is complete in
// any case.
func answer(data []byte, opt Options) (reply, error) {
	begin := time.Now()
	var in request
	if err := json.Unmarshal(data, &in); err != nil {
		return reply{Error: &failure{Message: "expected a JSON object with the fields of a question: " + err.Error()}}, errNotJSON
	}
	out := in.answer()
	out.ID = in.ID
	if opt.Timings {
		micros := time.Since(begin).Microseconds()
		out.Micros = &micros
	}
	if opt.Readings {
		out.Readings = in.readings()
	}
	return out, nil
}

func (in *request) answer() reply {
	q, bad := algebra.NewQuestion(in.declared(), in.Assume, budget.Default())
	if bad != nil {
		return reply{Error: failureOf(bad)}
	}
	switch in.Ask {
	case "truth":
		return outcomeReply(q.Truth(in.Statement))
	case "identity":
		return outcomeReply(q.Identity(in.Left, in.Right))
	case "relation":
		return relationReply(q.Relation(in.Left, in.Right))
	case "square-form":
		return in.squareForm(q)
	case "integers":
		return in.integers(q)
	case "steps":
		return in.steps(q)
	}
	return reply{Error: &failure{
		Message: "expected truth, identity, relation, square-form, integers or steps, found " + strconv.Quote(source.Shorten(in.Ask, 30)),
		At:      &place{Field: "ask"},
	}}
}

// declared lists the variables by name, since the members of a JSON object
// have no order.
func (in *request) declared() []algebra.Declared {
	list := make([]algebra.Declared, 0, len(in.Variables))
	for name, r := range in.Variables {
		list = append(list, algebra.Declared{Name: name, Range: r})
	}
	sort.Slice(list, func(i, j int) bool { return list[i].Name < list[j].Name })
	return list
}

func failureOf(u *algebra.Unreadable) *failure {
	d := u.Diag
	return &failure{Message: d.Message, At: &place{Field: u.Field, Line: d.At.Start.Line, Column: d.At.Start.Column, Text: d.Text}}
}

// pointOf is a witness as an object; a false statement without variables has
// an empty one.
func pointOf(w *algebra.Witness) *point {
	if w == nil {
		return nil
	}
	p := point{}
	for _, v := range w.Point {
		p[v.Name] = v.Value
	}
	return &p
}

func outcomeReply(o algebra.Outcome) reply {
	if o.Unreadable != nil {
		return reply{Error: failureOf(o.Unreadable)}
	}
	r := reply{Verdict: o.Verdict.String(), Witness: pointOf(o.Witness), Evidence: o.Evidence, Notes: notes(o.Notes)}
	if o.Verdict == algebra.Unsettled {
		r.Reason = o.Reason
	}
	if w := o.Witness; w != nil && w.Left != "" {
		r.Sides = []string{w.Left, w.Right}
	}
	return r
}

func notes(list []*source.Diag) []string {
	var out []string
	for _, d := range list {
		text := d.Message
		if !d.At.Start.IsZero() {
			text = d.At.Start.String() + ": " + text
		}
		out = append(out, text)
	}
	return out
}

func relationReply(o algebra.RelationOutcome) reply {
	for _, part := range []algebra.Outcome{o.Forward, o.Backward} {
		if part.Unreadable != nil {
			return reply{Error: failureOf(part.Unreadable)}
		}
	}
	r := reply{Relation: string(o.Relation), Notes: notes(o.Forward.Notes)}
	for name, part := range map[string]algebra.Outcome{"forward": o.Forward, "backward": o.Backward} {
		if part.Verdict == algebra.Fails {
			if r.Witnesses == nil {
				r.Witnesses = map[string]*point{}
			}
			r.Witnesses[name] = pointOf(part.Witness)
		}
		if part.Verdict == algebra.Unsettled {
			r.Reason = part.Reason
		}
	}
	return r
}
