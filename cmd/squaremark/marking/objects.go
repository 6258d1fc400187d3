package marking

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"squaremark/algebra/source"
	"squaremark/grader"
)

// object is one line of JSON Lines.
type object struct {
	Pupil   string  `json:"pupil"`
	Answers answers `json:"answers"`
}

// answers are answers by question, each question once.
type answers map[string]written

// UnmarshalJSON refuses a question that stands twice.
func (a *answers) UnmarshalJSON(data []byte) error {
	d := json.NewDecoder(bytes.NewReader(data))
	if t, err := d.Token(); err != nil || t != json.Delim('{') {
		return errors.New(`expected "answers" to be an object with the ids of questions`)
	}
	*a = answers{}
	for d.More() {
		t, err := d.Token()
		if err != nil {
			return err
		}
		id := fmt.Sprint(t)
		if _, twice := (*a)[id]; twice {
			return fmt.Errorf("the question %q is answered twice", source.Shorten(id, 40))
		}
		var w written
		if err := d.Decode(&w); err != nil {
			return err
		}
		(*a)[id] = w
	}
	return nil
}

// written is an answer: a text, or a list of lines, each a text or an object
// with text and link.
type written struct{ grader.Answer }

// UnmarshalJSON tells the shapes apart.
func (w *written) UnmarshalJSON(data []byte) error {
	var lines []json.RawMessage
	switch {
	case json.Unmarshal(data, &w.Text) == nil:
		return nil
	case json.Unmarshal(data, &lines) != nil:
		return errors.New("expected an answer that is a text or a list of lines")
	}
	for _, one := range lines {
		var l struct {
			Text string `json:"text"`
			Link string `json:"link"`
		}
		if json.Unmarshal(one, &l.Text) != nil {
			d := json.NewDecoder(bytes.NewReader(one))
			d.DisallowUnknownFields()
			if err := d.Decode(&l); err != nil {
				return errors.New(`expected a line that is a text or an object with "text" and "link"`)
			}
		}
		w.Lines = append(w.Lines, grader.Line{Text: l.Text, Link: l.Link})
	}
	return nil
}

// readObjects reads one JSON object a line: {"pupil": ..., "answers": {...}}.
func readObjects(name, text string, questions []string) (entries []Entry, notes []string, err error) {
	var unknown []string
	for i, line := range strings.Split(text, "\n") {
		if strings.TrimSpace(line) == "" {
			continue
		}
		var o object
		d := json.NewDecoder(strings.NewReader(line))
		d.DisallowUnknownFields()
		err := d.Decode(&o)
		if err == nil {
			if _, more := d.Token(); !errors.Is(more, io.EOF) {
				err = errors.New("expected one object in this line")
			}
		}
		switch {
		case err != nil:
			return nil, nil, placed(name, i+1, "%s", strings.TrimPrefix(err.Error(), "json: "))
		case strings.TrimSpace(o.Pupil) == "":
			return nil, nil, placed(name, i+1, `expected "pupil" with an id`)
		}
		e := Entry{Pupil: strings.TrimSpace(o.Pupil), Line: i + 1, Answers: map[string]grader.Answer{}}
		for id, w := range o.Answers {
			if !slices.Contains(questions, id) && !slices.Contains(unknown, id) {
				unknown = append(unknown, id)
			}
			e.Answers[id] = w.Answer
		}
		entries = append(entries, e)
	}
	if len(unknown) > 0 {
		slices.Sort(unknown)
		notes = append(notes, "note: answers to what is no question of the rubric are left out: "+strings.Join(unknown[:min(len(unknown), 20)], ", "))
	}
	return entries, notes, nil
}
