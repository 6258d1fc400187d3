package marking

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"math/big"
	"os"
	"strings"

	"squaremark/grader"
)

// Exact is a number of marks. In JSON it is a text: "3", or "3/2" in lowest
// terms.
type Exact struct{ *big.Rat }

// MarshalJSON writes the text.
func (e Exact) MarshalJSON() ([]byte, error) { return json.Marshal(e.RatString()) }

// UnmarshalJSON reads a whole number or a fraction of at most 40 characters.
func (e *Exact) UnmarshalJSON(data []byte) error {
	var text string
	if err := json.Unmarshal(data, &text); err != nil {
		return err
	}
	v, ok := new(big.Rat).SetString(text)
	if len(text) > 40 || strings.Trim(text, "0123456789/") != "" || !ok {
		return errors.New("expected marks such as 3 or 3/2")
	}
	e.Rat = v
	return nil
}

// Record is one marked answer set as plain data: one line of a results file.
type Record struct {
	Pupil         string     `json:"pupil"`
	Quiz          string     `json:"quiz"`
	RubricDigest  string     `json:"rubricDigest"`
	EngineVersion string     `json:"engineVersion"`
	Marks         Exact      `json:"marks"`
	Total         Exact      `json:"total"`
	NeedsPerson   bool       `json:"needsPerson"`
	Questions     []Question `json:"questions"`
}

// Question is one marked answer.
type Question struct {
	ID          string      `json:"id"`
	Answered    bool        `json:"answered"`
	Answer      string      `json:"answer,omitempty"` // as typed
	Understood  string      `json:"understood,omitempty"`
	Marks       Exact       `json:"marks"`
	Total       Exact       `json:"total"`
	NeedsPerson bool        `json:"needsPerson"`
	Criteria    []Criterion `json:"criteria"`
	Findings    []Finding   `json:"findings,omitempty"`
	Feedback    []string    `json:"feedback,omitempty"`
}

// Criterion is what one line of the mark scheme gave.
type Criterion struct {
	ID          string `json:"id"`
	Awarded     Exact  `json:"awarded"`
	Of          Exact  `json:"of"`
	NeedsPerson bool   `json:"needsPerson,omitempty"`
	Because     string `json:"because"`
}

// Finding is one fact about an answer; Line is the line of a chain, from 1.
type Finding struct {
	Code  string `json:"code"`
	State string `json:"state"`
	Line  int    `json:"line,omitempty"`
	Slip  string `json:"slip,omitempty"`
	Says  string `json:"says,omitempty"` // of a line: its label and moves
}

// asPlain is the marking of one answer as plain data.
func asPlain(q grader.QuestionResult, answer grader.Answer) Question {
	out := Question{
		ID: q.ID, Answered: q.Answered, Answer: typed(answer), Understood: q.Understood,
		Marks: Exact{q.Marks}, Total: Exact{q.Total}, NeedsPerson: q.NeedsPerson,
	}
	for _, c := range q.Criteria {
		out.Criteria = append(out.Criteria, Criterion{c.ID, Exact{c.Awarded}, Exact{c.Of}, c.NeedsPerson, c.Because})
	}
	for _, f := range q.Findings {
		finding := Finding{Code: f.Code, State: f.State, Slip: f.Slip}
		if f.Code == "line" {
			finding.Says = f.Detail // the label of the step and its moves
		}
		if f.Place != nil {
			finding.Line = f.Place.ChainLine
		}
		out.Findings = append(out.Findings, finding)
	}
	for _, f := range q.Feedback {
		out.Feedback = append(out.Feedback, f.Sentence)
	}
	return out
}

// typed is an answer as one text.
func typed(a grader.Answer) string {
	text := strings.TrimRight(a.Text, "\r\n")
	for _, l := range a.Lines {
		if text != "" {
			text += "\n"
		}
		if l.Link != "" {
			text += l.Link + " "
		}
		text += l.Text
	}
	return text
}

// maxRecord bounds one line of a results file, in bytes.
const maxRecord = 8 << 20

// readRecords reads results that writeLines wrote. Unknown keys are passed
// over.
func readRecords(name string) ([]Record, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var list []Record
	in := bufio.NewScanner(f)
	in.Buffer(nil, maxRecord)
	for line := 1; in.Scan(); line++ {
		if len(strings.TrimSpace(in.Text())) == 0 {
			continue
		}
		var r Record
		if err := json.Unmarshal(in.Bytes(), &r); err != nil {
			return nil, placed(name, line, "expected a result as JSON: %s", strings.TrimPrefix(err.Error(), "json: "))
		}
		if !r.complete() {
			return nil, placed(name, line, "expected a result with pupil and marks")
		}
		list = append(list, r)
	}
	if err := in.Err(); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return list, nil
}

// complete reports that every number is there.
func (r Record) complete() bool {
	ok := r.Pupil != "" && r.Marks.Rat != nil && r.Total.Rat != nil
	for _, q := range r.Questions {
		ok = ok && q.ID != "" && q.Marks.Rat != nil && q.Total.Rat != nil
		for _, c := range q.Criteria {
			ok = ok && c.ID != "" && c.Awarded.Rat != nil && c.Of.Rat != nil
		}
	}
	return ok
}

func mean(records []Record) *big.Rat {
	sum := new(big.Rat)
	for _, r := range records {
		sum.Add(sum, r.Marks.Rat)
	}
	return sum.Quo(sum, big.NewRat(int64(max(len(records), 1)), 1))
}
